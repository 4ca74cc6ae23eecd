package app

import (
	"ovenward/forecast/demand"
	"ovenward/forecast/joint"
	"ovenward/forecast/metal"
	"ovenward/inventory/measure"
)

// Tables are what planned joints are computed with.
type Tables struct {
	Metal *metal.Catalogue
	Named *joint.Catalogue
}

// DefaultTables returns the tables that come with the program.
func DefaultTables() (Tables, error) {
	m, err := metal.Default()
	if err != nil {
		return Tables{}, err
	}
	n, err := joint.DefaultCatalogue()
	return Tables{Metal: m, Named: n}, err
}

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
	Low, High *Limit // at the limits of fit-up; nil where none are known
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
	Pieces    float64      // not rounded: a joint does not end with a rod
	Purchased measure.Mass // of whole rods, stubs included; 0 if a piece's mass is not known
	Beads     int64        // of one weld, estimated; 0 if a bead's area is not known
}

// Compute computes one line of a plan, without allowances.
func (t Tables) Compute(j joint.Joint) (JointMetal, error) {
	m, r, err := t.nominal(j)
	if err != nil || m.Err != nil || m.Named == nil || !m.Named.FitUp.Given() {
		return m, err
	}
	if m.Low, err = t.limit(r.Low); err != nil {
		return m, err
	}
	m.High, err = t.limit(r.High)
	return m, err
}

// limit computes a joint at a limit of its fit-up; nil where it cannot be made
// so.
func (t Tables) limit(j joint.Joint) (*Limit, error) {
	m, _, err := t.nominal(j)
	if err != nil || m.Err != nil {
		return nil, err
	}
	return &Limit{Area: m.Weld.Section.Area(), Volume: m.Volume, Deposited: m.Deposited}, nil
}

// nominal computes a joint as it is drawn, and returns it with the sizes of the
// preparation that it names.
func (t Tables) nominal(j joint.Joint) (m JointMetal, r joint.Resolved, err error) {
	f, err := demand.Make(demand.Input{Joints: []joint.Joint{j}, Catalogue: t.Metal, Named: t.Named})
	if err != nil {
		return m, r, err
	}
	if len(f.NotComputed) > 0 {
		m.Err = f.NotComputed[0].Err
		return m, r, nil
	}
	if r, err = t.Named.Resolve(j); err != nil {
		return m, r, err
	}
	w, err := r.Joint.Weld()
	if err != nil {
		return m, r, err
	}
	m = JointMetal{Weld: w, Volume: w.Volume * joint.Volume(j.Quantity), Named: r.Named, Differs: r.Differs}
	var beads map[joint.Item]int64
	if m.Layers, beads, err = t.filling(j, w); err != nil {
		return m, r, err
	}
	for i, o := range f.Items { // in the same order as the lines of the one week
		l := f.Lines[i]
		m.Deposited += l.Deposited
		m.Items = append(m.Items, ItemNeed{Item: l.Item, Purchased: l.Purchased, Beads: beads[l.Item],
			Pieces: l.Deposited.Grams() / o.Rod.Deposit()})
	}
	return m, r, nil
}

// filling estimates a weld's layers and the beads of each item.
func (t Tables) filling(j joint.Joint, w joint.Weld) (int, map[joint.Item]int64, error) {
	rods := make([]metal.Rod, len(j.Passes))
	for i, p := range j.Passes {
		var err error
		if rods[i], err = t.Metal.Rod(p.Item); err != nil {
			return 0, nil, err
		}
	}
	parts, err := metal.Split(j.Passes, w, rods)
	if err != nil {
		return 0, nil, err
	}
	layers, beads := metal.Filling(w, j.Passes, rods, parts)
	of := map[joint.Item]int64{}
	for i, r := range rods {
		of[r.Item] += beads[i]
	}
	return layers, of, nil
}
