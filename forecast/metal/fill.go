package metal

import (
	"errors"
	"fmt"
	"slices"

	"ovenward/forecast/joint"
)

// Filled is a joint with the metal that it takes, without any allowance.
type Filled struct {
	Weld   joint.Weld   // one of its equal welds
	Volume joint.Volume // of all of them
	Rods   []Rod        // of its passes, in order
	Parts  []float64    // of the metal that each pass fills
	Fluxes []Flux       // of each pass; nil where no pass has one
	Lie    Factor       // of rods on the metal of the groove, by the welding position; zero where none counts
}

// mostDeposit bounds the metal of one line of a plan: a thousand tonnes, which
// only a unit written wrong can reach.
const mostDeposit = 1e9 // grams

// Source is where the figures of items and of fluxes are asked for: a catalogue, or
// who remembers its answers because many joints are computed.
type Source interface {
	Rod(joint.Item) (Rod, error)
	Flux(class string) (flux Rod, ratio float64, err error)
	Position(name string) (Factor, Row, bool)
}

// Fill computes a joint whose preparation is a shape. The error is an
// *joint.UncomputedError unless the source's is not.
func Fill(j joint.Joint, from Source) (Filled, error) {
	w, err := j.Weld()
	if err != nil {
		return Filled{}, err
	}
	if j.Quantity < 1 {
		return Filled{}, impossible("quantity", fmt.Sprint(j.Quantity), "not above zero", "how many equal joints")
	}
	f := Filled{Weld: w, Volume: w.Volume * joint.Volume(j.Quantity), Rods: make([]Rod, len(j.Passes))}
	for i, p := range j.Passes {
		if f.Rods[i], err = from.Rod(p.Item); err == nil {
			f.Rods[i], err = f.Rods[i].stated(p)
		}
		if err == nil {
			err = f.flux(i, p, from)
		}
		if err != nil {
			return Filled{}, inPass(i, err)
		}
	}
	f.Lie = f.lie(j, from)
	if f.Parts, err = Split(j.Passes, w, f.Rods); err != nil {
		return Filled{}, err
	}
	for _, r := range f.Rods {
		if grams := r.Density.Grams(f.Volume); !(grams < mostDeposit) {
			return Filled{}, impossible("length", fmt.Sprintf("of %d joints", j.Quantity),
				fmt.Sprintf("%.3g t of weld metal", grams/1e6), "sizes with the right units")
		}
	}
	return f, nil
}

// flux gives a pass its flux.
func (f *Filled) flux(i int, p joint.Pass, from Source) error {
	flux, has, err := withFlux(p, f.Rods[i], from.Flux)
	if err == nil && has {
		if f.Fluxes == nil {
			f.Fluxes = make([]Flux, len(f.Rods))
		}
		f.Fluxes[i] = flux
	}
	return err
}

// Deposited returns the grams of weld metal in all the equal welds, each part by
// the density of its rod.
func (f Filled) Deposited() float64 {
	var grams float64
	for _, n := range f.Needs(1) {
		grams += n.Deposited
	}
	return grams
}

// lie returns the factor that a joint's position puts on the metal of its groove;
// zero where none does: no rods, a weld that is no groove, a position that is not
// given or that the weld turns through.
func (f Filled) lie(j joint.Joint, from Source) Factor {
	words := j.Position.Words()
	if words == "" || !j.Preparation.Groove() || !slices.ContainsFunc(f.Rods, func(r Rod) bool { return !r.ByMass }) {
		return Factor{}
	}
	v, _, _ := from.Position(words)
	return v
}

// metal is how many times its drawn volume a weld takes of an item: the position
// counts for the groove and not for what lies outside of it, and for rods, of which
// the table was read.
func (f Filled) metal(r *Rod) float64 {
	area := f.Weld.Section.Area()
	if f.Lie.Value == 0 || area == 0 || r.ByMass {
		return 1
	}
	return 1 + (f.Lie.Value-1)*float64(f.Weld.Section.Groove()/area)
}

// inPass names the column of the item that is unknown.
func inPass(i int, err error) error {
	reason, ok := errors.AsType[*joint.UncomputedError](err)
	if !ok {
		return err
	}
	at := *reason
	if at.Field == "flux" || at.Field == "efficiency" {
		at.Field += fmt.Sprint(i + 1)
	} else {
		at.Field = fmt.Sprintf("item%d", i+1)
	}
	return &at
}

func impossible(field, value, why, write string) error {
	return &joint.UncomputedError{Reason: joint.ImpossibleSize, Field: field, Value: value, Why: why, Write: write}
}
