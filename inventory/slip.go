package inventory

import (
	"fmt"

	"ovenward/inventory/measure"
)

// Slip is one issue to one welder.
type Slip struct {
	Code   string
	Bundle string // the bundle the rods were taken from
	Lot    string
	Pieces int64
	Mass   measure.Mass
	Welder string
	Holder Place
	Job    string
	Rules  string // the rule set it was issued under
	Joints []string
	At     measure.Instant
	Closed measure.Instant // zero while open
	Back   Balance
	By     string // who issued it
}

// Balance is what came back on a slip. Used rods are what is missing from it.
type Balance struct {
	Unused       int64
	Stubs        int64
	Damaged      int64
	Unidentified int64
	UnusedMass   measure.Mass
}

// Check refuses a balance that returns more than was issued, or a negative
// number of anything.
func (b Balance) Check(slip string, issued int64, issuedMass measure.Mass) error {
	for _, c := range []struct {
		name string
		n    int64
	}{{"unused", b.Unused}, {"stubs", b.Stubs}, {"damaged", b.Damaged}, {"unidentified", b.Unidentified}} {
		if c.n < 0 {
			return &Refusal{Code: BalanceCode, Subject: slip, Why: fmt.Sprintf("%s is %d, less than none", c.name, c.n),
				Value: fmt.Sprint(c.n), Limit: "0", Next: "count the rods again"}
		}
	}
	back := b.Unused + b.Stubs + b.Damaged + b.Unidentified
	if back > issued {
		return &Refusal{Code: BalanceCode, Subject: slip,
			Why:   fmt.Sprintf("%d pieces back of %d issued", back, issued),
			Value: fmt.Sprint(back), Limit: fmt.Sprint(issued),
			Next: "count again; rods of another slip or lot go in as their own return, rods without a mark are scrap"}
	}
	if b.UnusedMass < 0 || b.UnusedMass > issuedMass {
		return &Refusal{Code: BalanceCode, Subject: slip,
			Why:   fmt.Sprintf("%s back of %s issued", b.UnusedMass, issuedMass),
			Value: b.UnusedMass.String(), Limit: issuedMass.String(), Next: "weigh again"}
	}
	return nil
}

// Used returns the pieces that went into joints or were lost.
func (b Balance) Used(issued int64) int64 { return issued - b.Unused - b.Damaged - b.Unidentified }

// Unaccounted returns the used pieces for which no stub came back.
func (b Balance) Unaccounted(issued int64) int64 { return b.Used(issued) - b.Stubs }
