package app

import (
	"errors"
	"slices"

	"ovenward/forecast/joint"
	"ovenward/forecast/metal"
	"ovenward/inventory/measure"
)

// JointMetal is what one line of a plan takes. Of a joint that cannot be
// computed only the error is set.
type JointMetal struct {
	Weld      joint.Weld   // one of its equal welds
	Volume    joint.Volume // of all of them
	Deposited measure.Mass // in all of them
	Layers    int          // of one weld, estimated; 0 where it has none
	Items     []ItemNeed   // in the order of class and size
	Named     *joint.Named // the preparation that the joint names
	Differs   []joint.Difference
	Lie       metal.Factor // on the metal of its groove, by its position; zero where none counts
	Low, High *Limit       // at the limits of fit-up; nil where none are known
	Err       *joint.UncomputedError
}

// Limit is a joint at a limit of its fit-up.
type Limit struct {
	Area      joint.Area
	Volume    joint.Volume // of all the equal welds
	Deposited measure.Mass
}

// ItemNeed is what a line of a plan takes of one item.
type ItemNeed struct {
	Item      joint.Item
	ByMass    bool         // wire or flux: its pieces are grams
	Pieces    float64      // not rounded: a joint does not end with a rod
	Purchased measure.Mass // of whole rods, stubs included; 0 if a piece's mass is not known
	Beads     int64        // of one weld, estimated; 0 if a bead's area is not known
}

// Compute computes one line of a plan, without allowances.
func (t Tables) Compute(j joint.Joint) (JointMetal, error) {
	r, f, err := t.fill(j)
	if err != nil {
		m := JointMetal{}
		if reason, ok := errors.AsType[*joint.UncomputedError](err); ok {
			m.Err, err = reason, nil
		}
		return m, err
	}
	m := JointMetal{Lie: f.Lie, Weld: f.Weld, Volume: f.Volume, Deposited: metal.Mass(f.Deposited()), Named: r.Named, Differs: r.Differs}
	layers, beads := metal.Filling(f.Weld, j.Passes, f.Rods, f.Parts)
	m.Layers, m.Items = layers, needs(f, beads)
	if r.Named != nil && r.Named.FitUp.Given() {
		m.Low, m.High = t.limit(r.Low), t.limit(r.High)
	}
	return m, nil
}

// fill gives a joint the sizes of the preparation that it names, and computes it.
func (t Tables) fill(j joint.Joint) (joint.Resolved, metal.Filled, error) {
	r, err := t.Named.Resolve(j)
	if err != nil {
		return r, metal.Filled{}, err
	}
	f, err := metal.Fill(r.Joint, t.Metal)
	return r, f, err
}

// limit computes a joint at a limit of its fit-up; nil where it cannot be made
// so.
func (t Tables) limit(j joint.Joint) *Limit {
	f, err := metal.Fill(j, t.Metal)
	if err != nil {
		return nil
	}
	return &Limit{Area: f.Weld.Section.Area(), Volume: f.Volume, Deposited: metal.Mass(f.Deposited())}
}

// needs adds up what the passes take, by item in the order of class and size.
func needs(f metal.Filled, beads []int64) []ItemNeed {
	var list []ItemNeed
	pass := 0
	for r, n := range f.Needs(1) {
		at := slices.IndexFunc(list, func(o ItemNeed) bool { return o.Item == r.Item })
		if at < 0 {
			at = len(list)
			list = append(list, ItemNeed{Item: r.Item, ByMass: r.ByMass})
		}
		list[at].Pieces += n.Pieces
		list[at].Purchased += metal.Mass(n.Purchased)
		if n.Deposited > 0 { // flux makes no beads
			list[at].Beads += beads[pass]
			pass++
		}
	}
	slices.SortFunc(list, func(a, b ItemNeed) int { return a.Item.Compare(b.Item) })
	return list
}
