package inventory

import (
	"fmt"

	"ovenward/inventory/measure"
)

// Balance reads what came back. The error is a *Refusal.
func (e *Returned) Balance() (Balance, error) {
	b := Balance{Unused: int64(e.Unused), Stubs: int64(e.Stubs), Damaged: int64(e.Damaged), Unidentified: int64(e.Unidentified)}
	if e.UnusedMass == "" {
		return b, nil
	}
	m, err := measure.ParseMass(e.UnusedMass)
	if err != nil {
		return b, FieldRefusal("unused mass", err)
	}
	b.UnusedMass = m
	return b, nil
}

// Joinable refuses to join a bundle to a first one: lots are never mixed, and
// only what is open and lies in one place, or is out with one welder on one
// slip, can be one bundle.
func Joinable(first, b Bundle) error {
	ref := &Refusal{Code: ImpossibleOrder, Subject: b.Code}
	switch {
	case b.Lot != first.Lot:
		ref.Code, ref.Value, ref.Limit = WrongClass, b.Lot, first.Lot
		ref.Why = fmt.Sprintf("%s is of lot %s, %s of lot %s: mixed lots cannot be traced", b.Code, b.Lot, first.Code, first.Lot)
		ref.Next = "keep the lots apart"
	case b.Sealed:
		ref.Why, ref.Next = "it is still sealed", "open it first, or leave it sealed"
	case b.Slip != first.Slip || (b.Slip == "" && b.Place != first.Place):
		ref.Why = fmt.Sprintf("%s is in %s, %s in %s", b.Code, b.Place.Name, first.Code, first.Place.Name)
		ref.Next = "move them to one place first"
	default:
		return nil
	}
	return ref
}

// Present refuses a bundle of which nothing is left.
func (b Bundle) Present() error {
	if !b.Empty() {
		return nil
	}
	return &Refusal{Code: NotEnough, Subject: b.Code, Value: "0", Why: "nothing is left of it",
		Next: "see where it went with: ovenward trace " + b.Code}
}

// InCrib refuses a bundle that is out with a welder.
func (b Bundle) InCrib() error {
	if b.Slip == "" {
		return nil
	}
	return &Refusal{Code: ImpossibleOrder, Subject: b.Code, Value: b.Slip,
		Why: b.these() + " out on slip " + b.Slip, Next: "take them back first, damaged ones too: ovenward return " + b.Slip}
}

// OutOn refuses a bundle that is not out on a slip.
func (b Bundle) OutOn(slip string) error {
	if b.Slip == slip {
		return nil
	}
	return &Refusal{Code: Unknown, Subject: b.Code, Value: b.Slip,
		Why: b.these() + " not out on slip " + slip, Next: "scan the slip they went out on"}
}

// these begins a sentence about what is in front of the attendant.
func (b Bundle) these() string {
	if b.Mass > 0 {
		return "this spool or flux is"
	}
	return "these rods are"
}

// Divisible refuses to take some of a package that is closed: what stays behind
// is open then, too.
func (b Bundle) Divisible() error {
	if !b.Sealed {
		return nil
	}
	next := "open it first: ovenward open " + b.Code
	if b.Mass == 0 { // rods
		next += " --into OVEN"
	}
	return &Refusal{Code: ImpossibleOrder, Subject: b.Code, Why: "it is still sealed", Next: next}
}

// Countable refuses a count of rods that a welder has, and one that finds rods
// where there were none left.
func (b Bundle) Countable(pieces int64, weighed bool) error {
	if !b.Empty() {
		return b.InCrib()
	}
	if pieces == 0 && !weighed {
		return nil
	}
	return &Refusal{Code: BalanceCode, Subject: b.Code, Value: fmt.Sprint(pieces), Limit: "0",
		Why:  "nothing was left of it: what is found now has no history",
		Next: "scrap it, or correct the fact that used the bundle up: ovenward ledger correct"}
}
