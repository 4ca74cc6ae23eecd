package moisture

import (
	"fmt"

	"ovenward/inventory/measure"
	"ovenward/storage/air"
)

// Caution stands beside every estimate.
const Caution = "an estimate, not an acceptance criterion: the rule set's limit and the readings decide"

// Advice is an estimate with what it rests on.
type Advice struct {
	Covering    Covering
	Air         air.Air
	Assumed     bool // no air was read; it is that of the tests
	Least, Most measure.Duration
	Taken       Range
	Limit       measure.Duration // the rule's
	First, Last measure.Duration // exposure by which rods should be back; never more than Limit
}

// Advise estimates what rods have taken up, and by when they should come back, in
// the air that was read; nil for none, which is taken for that of the tests.
func Advise(c Covering, least, most, limit measure.Duration, read *air.Air) Advice {
	a := Advice{Covering: c, Air: testAir, Assumed: read == nil, Least: least, Most: most, Limit: limit}
	if read != nil {
		a.Air = *read
	}
	a.Taken = Estimate(c, least, most, a.Air)
	a.First, a.Last = Earlier(c, limit, a.Air)
	return a
}

// Tightens reports whether the air asks for rods earlier than the limit does.
func (a Advice) Tightens() bool { return a.First < a.Limit }

// Says is the estimate in words, with its inputs.
func (a Advice) Says() string {
	exposed := a.Most.Words()
	if a.Least != a.Most {
		exposed = a.Least.Words() + " to " + exposed
	}
	in := a.Air.String()
	if a.Assumed {
		in = "not read, taken as " + in
	}
	return fmt.Sprintf("%.2f %% to %.2f %% water taken up by a %s covering (%s exposed; air %s)",
		a.Taken.Low, a.Taken.High, a.Covering, exposed, in)
}

// Back is the advice in words; empty where the air asks for nothing beyond the
// limit.
func (a Advice) Back() string {
	if !a.Tightens() {
		return ""
	}
	return fmt.Sprintf("such air is moister than that of the tests: rods should be back after %s to %s exposed, at the latest at their limit of %s",
		about(a.First), about(a.Last), a.Limit.Words())
}

// about is a time in steps of five minutes, a started one left out: an estimate
// knows no better.
func about(d measure.Duration) string { return (d - d%(5*measure.Minute)).Words() }
