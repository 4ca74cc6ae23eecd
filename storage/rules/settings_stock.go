package rules

import (
	"fmt"
	"slices"
	"strconv"

	"ovenward/inventory/designation"
)

// clockWire changes how the time of cored wire is counted: "elapsed" from the
// first opening, or "summed" while it is out of its pack.
func (s *Set) clockWire(value string) error {
	switch value {
	case Elapsed:
		s.eachWire(func(r *ExposureRow) { r.Clock, r.Bagged = Elapsed, nil })
	case string(Summed):
		s.eachWire(func(r *ExposureRow) { r.Clock = "" })
	default:
		return fmt.Errorf("%q is neither elapsed nor summed", value)
	}
	return nil
}

// bagWire says whether the time of cored wire back in its pack counts.
func (s *Set) bagWire(value string) error {
	counts, err := strconv.ParseBool(value)
	if err != nil {
		return fmt.Errorf("%q is neither true nor false", value)
	}
	s.eachWire(func(r *ExposureRow) {
		if r.Clock == "" {
			r.Bagged = &counts
		}
	})
	return nil
}

// eachWire changes the exposure rows of cored wire in a copy, since the set that
// is changed shares its rows with the one it comes from.
func (s *Set) eachWire(change func(*ExposureRow)) {
	s.Exposure = slices.Clone(s.Exposure)
	for i := range s.Exposure {
		r := &s.Exposure[i]
		if r.Clock != NoClock && slices.Contains(r.Family, designation.CoredWire) {
			change(r)
		}
	}
}

// blendNew sets how much of a blend of flux is new at least.
func (s *Set) blendNew(value string) error {
	n, err := percent(value)
	s.Blend = []BlendRow{{Meta: changed("blend"), NewMin: n}}
	return err
}

// blendRecycled sets how much of a blend of flux is recycled at most.
func (s *Set) blendRecycled(value string) error {
	n, err := percent(value)
	s.Blend = []BlendRow{{Meta: changed("blend"), RecycledMax: n}}
	return err
}

func percent(value string) (int64, error) {
	n, err := strconv.ParseInt(value, 10, 64)
	if err != nil || n < 1 || n > 100 {
		return 0, fmt.Errorf("%q is not a whole number from 1 to 100", value)
	}
	return n, nil
}
