package app

import (
	"fmt"

	"ovenward/inventory"
	"ovenward/inventory/measure"
)

func (d *desk) scrapped(e *inventory.Scrapped) error {
	b, err := d.inCrib(e.Bundle)
	if err != nil {
		return err
	}
	e.Bundle = b.Code
	l, err := d.lot(b.Lot)
	if err != nil {
		return err
	}
	pieces := e.Pieces // none given stays "all of it"
	part, err := d.part(l, b, &pieces, &e.Mass)
	if err != nil {
		return err
	}
	if part {
		if err := b.Divisible(); err != nil {
			return err
		}
	}
	set, err := d.setFor(b, "")
	if set == nil || err != nil {
		return err
	}
	j, err := d.judged(set, b)
	e.Judged = &j.Verdict
	return err
}

func (d *desk) counted(e *inventory.Counted) error {
	b, err := d.bundle(e.Bundle)
	if err != nil {
		return err
	}
	e.Bundle = b.Code
	if err := d.born(b); err != nil {
		return err
	}
	if err := b.Countable(int64(e.Pieces), e.Mass != ""); err != nil {
		return err
	}
	l, err := d.lot(b.Lot)
	if err != nil {
		return err
	}
	if l.Counted() {
		return d.countedRods(e, b)
	}
	return d.reweighed(e, b)
}

func (d *desk) countedRods(e *inventory.Counted, b inventory.Bundle) error {
	if e.Mass != "" {
		return rodsCounted(e.Mass)
	}
	if diff := int64(e.Pieces) - b.Pieces; diff != 0 {
		d.warn("the books said %d, %d were counted: a difference of %d is kept", b.Pieces, e.Pieces, diff)
	}
	return nil
}

func (d *desk) reweighed(e *inventory.Counted, b inventory.Bundle) error {
	if e.Pieces != 0 {
		return weighed(fmt.Sprint(e.Pieces))
	}
	mass, err := measure.ParseMass(e.Mass)
	if err != nil {
		return inventory.FieldRefusal("mass", err)
	}
	if mass < 0 {
		return &inventory.Refusal{Code: inventory.Unit, Subject: "mass", Value: e.Mass, Why: "less than nothing", Next: "weigh it again"}
	}
	if mass.Near(b.Mass) {
		e.Mass = b.Mass.Exact()
	} else {
		d.warn("the books said %s, %s were weighed: the difference is kept", b.Mass, mass)
	}
	return nil
}
