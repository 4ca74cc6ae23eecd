package metal

import (
	"errors"
	"fmt"

	"ovenward/forecast/joint"
)

// Filled is a joint with the metal that it takes, without any allowance.
type Filled struct {
	Weld   joint.Weld   // one of its equal welds
	Volume joint.Volume // of all of them
	Rods   []Rod        // of its passes, in order
	Parts  []float64    // of the metal that each pass fills
}

// mostDeposit bounds the metal of one line of a plan: a thousand tonnes, which
// only a unit written wrong can reach.
const mostDeposit = 1e9 // grams

// Fill computes a joint whose preparation is a shape. Rods are asked for by item,
// so that who computes many joints may remember them. The error is an
// *joint.UncomputedError unless rodOf's is not.
func Fill(j joint.Joint, rodOf func(joint.Item) (Rod, error)) (Filled, error) {
	w, err := j.Weld()
	if err != nil {
		return Filled{}, err
	}
	if j.Quantity < 1 {
		return Filled{}, impossible("quantity", fmt.Sprint(j.Quantity), "not above zero", "how many equal joints")
	}
	f := Filled{Weld: w, Volume: w.Volume * joint.Volume(j.Quantity), Rods: make([]Rod, len(j.Passes))}
	for i, p := range j.Passes {
		if f.Rods[i], err = rodOf(p.Item); err != nil {
			return Filled{}, inPass(i, err)
		}
	}
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

// Deposited returns the grams of weld metal in all the equal welds, each part by
// the density of its rod.
func (f Filled) Deposited() float64 {
	var grams float64
	for i, r := range f.Rods {
		grams += r.Density.Grams(f.Volume * joint.Volume(f.Parts[i]))
	}
	return grams
}

// inPass names the column of the item that is unknown.
func inPass(i int, err error) error {
	reason, ok := errors.AsType[*joint.UncomputedError](err)
	if !ok {
		return err
	}
	at := *reason
	at.Field = fmt.Sprintf("item%d", i+1)
	return &at
}

func impossible(field, value, why, write string) error {
	return &joint.UncomputedError{Reason: joint.ImpossibleSize, Field: field, Value: value, Why: why, Write: write}
}
