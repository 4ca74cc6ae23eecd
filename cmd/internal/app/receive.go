package app

import (
	"fmt"

	"ovenward/inventory"
	"ovenward/inventory/stockdb"
)

func (d *desk) received(e *inventory.Received) (err error) {
	lot, b, err := e.Stock()
	if err != nil {
		return err
	}
	if err := d.sameLot(lot, e); err != nil {
		return err
	}
	if e.Bundle, err = d.assign('B', e.Bundle); err != nil {
		return err
	}
	if e.Into == "" {
		e.Into = inventory.Store
	}
	into, err := d.place(e.Into)
	if err != nil {
		return err
	}
	if !b.Tight && e.Use == "" {
		d.looseSeal(lot, b)
	}
	if !b.Sealed && e.Use == "" && into.Kind != inventory.HoldingOven {
		d.warn("the package is open: its %s %s exposed from now on", lot.Noun(), are(lot))
	}
	return d.stows(lot, b, stow{into: into})
}

// sameLot refuses a second receipt of a lot that says another class or size.
func (d *desk) sameLot(l inventory.Lot, e *inventory.Received) error {
	have, err := stockdb.Lot(d.ctx, d.tx, d.site, l.Code)
	if err != nil {
		return ignoreMissing(err)
	}
	next := "compare both labels; a maker's number that stands for two products is received under two lot numbers"
	if have.Mark.Canonical != l.Mark.Canonical {
		return &inventory.Refusal{Code: inventory.WrongClass, Subject: l.Code, Value: l.Mark.Canonical, Limit: have.Mark.Canonical,
			Why: fmt.Sprintf("the lot is here as %s, not %s", have.Mark.Canonical, l.Mark.Canonical), Next: next}
	}
	if !have.Diameter.Near(l.Diameter) {
		return &inventory.Refusal{Code: inventory.WrongSize, Subject: l.Code, Value: l.Size, Limit: have.Size,
			Why: fmt.Sprintf("the lot is here in %s, not %s", have.Size, l.Size), Next: next}
	}
	if have.Owner != l.Owner {
		return &inventory.Refusal{Code: inventory.Duplicate, Subject: l.Code, Value: owner(l), Limit: owner(have),
			Why: fmt.Sprintf("the lot is here as %s, not %s", owner(have), owner(l)), Next: next}
	}
	return d.sameStanding(have, l, e)
}

// owner says whose a lot is.
func owner(l inventory.Lot) string {
	if l.Owner == "" {
		return "the shop's own"
	}
	return "property of " + l.Owner
}

func (d *desk) heldBack(e *inventory.HeldBack) error {
	if e.Why == "" {
		return &inventory.Refusal{Code: inventory.Unknown, Subject: "why", Why: "a hold without a reason tells QA nothing", Next: "say why with --why"}
	}
	if e.Lot != "" {
		_, err := d.lot(e.Lot)
		return err
	}
	b, err := d.bundle(e.Bundle)
	e.Bundle = b.Code
	return err
}

// looseSeal says what a package without a tight seal means for what is in it.
func (d *desk) looseSeal(l inventory.Lot, b inventory.Bundle) {
	switch {
	case l.Counted():
		d.warn("came without a tight seal: low-hydrogen rods are baked before first use")
	case !b.Sealed:
		d.warn("came in a damaged package: see what the rule set asks of it with ovenward exposure %s", b.Code)
	}
}

// are is the verb that goes with what the stock is called.
func are(l inventory.Lot) string {
	if l.Counted() {
		return "are"
	}
	return "is"
}
