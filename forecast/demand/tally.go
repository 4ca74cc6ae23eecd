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
	fluxes      map[string]found         // as planned
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
	rod   metal.Rod
	ratio float64 // of a flux
	err   error
}

func newTally(in Input) *tally {
	return &tally{
		catalogue: in.Catalogue, named: in.Named, factor: in.Allowances.factor(), allowances: in.Allowances,
		rods: make(map[joint.Item]found), fluxes: make(map[string]found), used: make(map[joint.Item]metal.Rod),
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
	f, err := metal.Fill(r.Joint, t)
	if err != nil {
		return err
	}
	for rod, n := range f.Needs(t.factor) {
		t.sum(j.Week, rod, n)
	}
	t.caps[f.Weld.Cap]++
	t.computed++
	return nil
}

// Rod asks the catalogue once for each item.
func (t *tally) Rod(i joint.Item) (metal.Rod, error) {
	f, known := t.rods[i]
	if !known {
		f.rod, f.err = t.catalogue.Rod(i)
		t.rods[i] = f
	}
	return f.rod, f.err
}

// Flux asks the catalogue once for each flux.
func (t *tally) Flux(class string) (metal.Rod, float64, error) {
	f, known := t.fluxes[class]
	if !known {
		f.rod, f.ratio, f.err = t.catalogue.Flux(class)
		t.fluxes[class] = f
	}
	return f.rod, f.ratio, f.err
}

// Position returns the factor of a position.
func (t *tally) Position(name string) (metal.Factor, metal.Row, bool) {
	return t.catalogue.Position(name)
}

func (t *tally) sum(w measure.Week, r *metal.Rod, n metal.Need) {
	k := weekItem{w, r.Item}
	s := t.sums[k]
	if s == nil {
		s = new(metal.Need)
		t.sums[k] = s
		t.used[r.Item] = *r
	}
	s.Pieces += n.Pieces
	s.Deposited += n.Deposited
	s.Purchased += n.Purchased
}
