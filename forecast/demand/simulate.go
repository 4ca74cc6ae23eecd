package demand

import (
	"errors"

	"ovenward/forecast/joint"
	"ovenward/inventory/measure"
)

// Simulated is a plan's need with its spread.
type Simulated struct {
	Seed  uint64
	Draws int
	Weeks []Likely               // in order of week and item
	By    map[joint.Item][]Share // what makes the spread of each item, the largest first
	Used  map[joint.Item]Ratio   // the ratios that were taken
	Free  map[joint.Item]float64 // pieces a week that no joint explains
}

// Simulate draws the need of each week and item by Monte-Carlo: fit-up by the
// limits of each joint, repairs weld by weld at a rate that is itself not known
// well, late starts job by job, what use has taught, and use that no joint
// explains. It covers the weeks from the first one given, or that of the first joint
// where that is earlier or from is zero, to the last one given. From one seed it
// gives the same draws each time. The error is for an input or chances that are
// wrong, and for a last week that is zero.
func Simulate(in Input, c Chances, from, to measure.Week) (Simulated, error) {
	if err := in.check(); err != nil {
		return Simulated{}, err
	}
	if err := c.check(); err != nil {
		return Simulated{}, err
	}
	if to == (measure.Week{}) {
		return Simulated{}, errors.New("last week to simulate: not given")
	}
	t := newTally(in)
	r := newRun(t.works(in.Joints), in.Allowances, c)
	r.span(from, to)
	r.set()
	for d := range c.Draws {
		r.draw(d)
	}
	r.teach()
	r.addFree()
	return r.result(), nil
}
