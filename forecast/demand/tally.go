package demand

import (
	"errors"
	"fmt"

	"ovenward/forecast/joint"
	"ovenward/forecast/metal"
	"ovenward/inventory/measure"
)

// tally adds joints up.
type tally struct {
	catalogue   *metal.Catalogue
	named       *joint.Catalogue
	factor      float64
	allowances  Allowances
	rods        map[joint.Item]found     // as planned
	used        map[joint.Item]metal.Rod // as the tables name them
	sums        map[weekItem]*metal.Need // over all joints of the week
	caps        map[joint.CapOrigin]int  // lines of the plan by where their cap comes from
	notComputed []NotComputed
	computed    int
}

type weekItem struct {
	week measure.Week
	item joint.Item
}

// found is the answer of the catalogue, asked once for each item.
type found struct {
	rod metal.Rod
	err error
}

func newTally(in Input) *tally {
	return &tally{
		catalogue: in.Catalogue, named: in.Named, factor: in.Allowances.factor(), allowances: in.Allowances,
		rods: make(map[joint.Item]found), used: make(map[joint.Item]metal.Rod),
		sums: make(map[weekItem]*metal.Need), caps: make(map[joint.CapOrigin]int),
	}
}

// add computes a joint and adds it to its week, or lists it.
func (t *tally) add(j joint.Joint) {
	if err := t.compute(j); err != nil {
		var reason *joint.UncomputedError
		if !errors.As(err, &reason) {
			reason = &joint.UncomputedError{
				Reason: joint.NoGeometry, Field: "joint", Why: err.Error(), Write: "the joint again",
			}
		}
		t.notComputed = append(t.notComputed, NotComputed{Joint: j, Err: reason})
	}
}

// compute adds nothing unless all of the joint can be computed.
func (t *tally) compute(j joint.Joint) error {
	r, err := t.named.Resolve(j)
	if err != nil {
		return err
	}
	w, err := r.Joint.Weld()
	if err != nil {
		return err
	}
	if j.Quantity < 1 {
		return impossible("quantity", fmt.Sprint(j.Quantity), "not above zero", "how many equal joints")
	}
	rods, err := t.rodsOf(j)
	if err != nil {
		return err
	}
	parts, err := metal.Split(j.Passes, w, rods)
	if err != nil {
		return err
	}
	volume := w.Volume * joint.Volume(float64(j.Quantity)*t.factor)
	for _, r := range rods {
		if grams := r.Density.Grams(volume); !(grams < mostDeposit) {
			return impossible("length", fmt.Sprintf("of %d joints", j.Quantity),
				fmt.Sprintf("%.3g t of weld metal", grams/1e6), "sizes with the right units")
		}
	}
	for i, r := range rods {
		t.sum(j.Week, r, volume*joint.Volume(parts[i]))
	}
	t.caps[w.Cap]++
	t.computed++
	return nil
}

// rodsOf returns the rods of the passes, in order.
func (t *tally) rodsOf(j joint.Joint) ([]metal.Rod, error) {
	rods := make([]metal.Rod, len(j.Passes))
	for i, p := range j.Passes {
		f, known := t.rods[p.Item]
		if !known {
			f.rod, f.err = t.catalogue.Rod(p.Item)
			t.rods[p.Item] = f
		}
		if f.err != nil {
			return nil, inPass(i, f.err)
		}
		rods[i] = f.rod
	}
	return rods, nil
}

// inPass names the column of the item that is unknown.
func inPass(i int, err error) error {
	var reason *joint.UncomputedError
	if !errors.As(err, &reason) {
		return err
	}
	at := *reason
	at.Field = fmt.Sprintf("item%d", i+1)
	return &at
}

func (t *tally) sum(w measure.Week, r metal.Rod, v joint.Volume) {
	k := weekItem{w, r.Item}
	s := t.sums[k]
	if s == nil {
		s = new(metal.Need)
		t.sums[k] = s
		t.used[r.Item] = r
	}
	n := r.Need(v)
	s.Pieces += n.Pieces
	s.Deposited += n.Deposited
	s.Purchased += n.Purchased
}

func impossible(field, value, why, write string) error {
	return &joint.UncomputedError{Reason: joint.ImpossibleSize, Field: field, Value: value, Why: why, Write: write}
}
