package demand

import (
	"errors"

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
	f, err := metal.Fill(r.Joint, t.rod)
	if err != nil {
		return err
	}
	volume := f.Volume * joint.Volume(t.factor)
	for i, r := range f.Rods {
		t.sum(j.Week, r, volume*joint.Volume(f.Parts[i]))
	}
	t.caps[f.Weld.Cap]++
	t.computed++
	return nil
}

// rod asks the catalogue once for each item.
func (t *tally) rod(i joint.Item) (metal.Rod, error) {
	f, known := t.rods[i]
	if !known {
		f.rod, f.err = t.catalogue.Rod(i)
		t.rods[i] = f
	}
	return f.rod, f.err
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
