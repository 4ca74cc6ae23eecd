package stockdb

import (
	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// blended takes flux from every input and makes one bundle of it, of a lot of its
// own.
func (a *applier) blended(e *inventory.Blended) error {
	whole := inventory.Bundle{Code: e.As, Lot: e.Lot, Born: a.at, Returned: true}
	lots := make([]inventory.Lot, len(e.Inputs))
	for i, in := range e.Inputs {
		b, err := a.inCrib(in.Bundle)
		if err != nil {
			return err
		}
		if lots[i], err = Lot(a.ctx, a.tx, a.site, b.Lot); err != nil {
			return err
		}
		if i == 0 {
			whole.Package, whole.Tight, whole.Received, whole.Place = b.Package, true, b.Received, b.Place
		}
		whole.Tight, whole.Received = whole.Tight && b.Tight, min(whole.Received, b.Received)
		mass, err := a.blendIn(e, in, b)
		if err != nil {
			return err
		}
		whole.Mass += mass
	}
	return a.saveBlend(e, inventory.Blend(e.Lot, lots), whole)
}

// blendIn takes one input's flux and notes where it went.
func (a *applier) blendIn(e *inventory.Blended, in inventory.BlendInput, b inventory.Bundle) (measure.Mass, error) {
	mass, err := in.Amount(b)
	if err != nil {
		return 0, err
	}
	if mass < b.Mass {
		if err := b.Divisible(); err != nil {
			return 0, err
		}
	}
	recycled, err := Recycled(a.ctx, a.tx, a.site, b, mass)
	if err != nil {
		return 0, err
	}
	if err := a.take(&b, 0, mass); err != nil {
		return 0, err
	}
	if err := a.originate(e.As, b.Code, e.Lot); err != nil {
		return 0, err
	}
	return mass, a.exec(`INSERT INTO blend (site, bundle, input, lot, input_lot, mass_ug, recycled_ug, at_us)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8)`, a.site, e.As, b.Code, e.Lot, b.Lot, mass, recycled, a.at)
}

func (a *applier) saveBlend(e *inventory.Blended, l inventory.Lot, b inventory.Bundle) (err error) {
	if e.Into != "" {
		if b.Place, err = a.place(e.Into); err != nil {
			return err
		}
	}
	if err := a.note(l.Code); err != nil {
		return err
	}
	if err := a.saveLot(l); err != nil {
		return err
	}
	if err := a.saveBundle(b); err != nil {
		return err
	}
	return a.arrive(l.Code, b.Code, inventory.Stay{Place: b.Place})
}

// reclaimed makes a bundle of flux that was taken up again. What was out on a
// slip came back with it.
func (a *applier) reclaimed(e *inventory.Reclaimed) error {
	b, err := a.present(e.Bundle)
	if err != nil {
		return err
	}
	if err := b.Divisible(); err != nil {
		return err
	}
	mass, err := measure.ParseMass(e.Mass)
	if err != nil {
		return err
	}
	into, err := a.place(e.Into)
	if err != nil {
		return err
	}
	slip := b.Slip
	child := inventory.Bundle{Code: e.As, Mass: mass, Place: into, Recycled: true, Returned: true}
	if err := a.split(&b, child); err != nil {
		return err
	}
	stay := inventory.Stay{Place: into, Returned: slip != ""}
	if err := a.arrive(b.Lot, child.Code, stay); err != nil {
		return err
	}
	return a.movedBack(slip, stay, 0, mass)
}

// extended moves a lot's last day.
func (a *applier) extended(e *inventory.Extended) error {
	if err := a.note(e.Lot); err != nil {
		return err
	}
	return a.changeLot(e.Lot, `UPDATE lot SET extended = $3, extension = $4 WHERE site = $1 AND lot = $2`, e.Until, e.Reference)
}
