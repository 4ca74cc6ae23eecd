package stockdb

import (
	"ovenward/inventory"
)

// issued takes rods from a bundle and lets them be a bundle of their own under
// the slip's code, out with the welder.
func (a *applier) issued(e *inventory.Issued) error {
	mass, err := optionalMass(e.Mass)
	if err != nil {
		return err
	}
	b, err := a.inCrib(e.Bundle)
	if err != nil {
		return err
	}
	holder, err := a.place(e.Holder)
	if err != nil {
		return err
	}
	if b.Sealed {
		if err := a.open(b, b.Place, b.Rack); err != nil {
			return err
		}
	}
	rods := inventory.Bundle{Code: e.Slip, Pieces: int64(e.Pieces), Mass: mass, Place: holder, Slip: e.Slip, Returned: b.Returned}
	if err := a.split(&b, rods); err != nil {
		return err
	}
	if err := a.arrive(b.Lot, rods.Code, inventory.Stay{Place: holder, Slip: e.Slip}); err != nil {
		return err
	}
	return a.saveSlip(b, rods, e)
}

// saveSlip adds the slip that rods taken from a bundle are out on.
func (a *applier) saveSlip(from, rods inventory.Bundle, e *inventory.Issued) error {
	rules := ""
	if e.Judged != nil {
		rules = e.Judged.Rules
	}
	err := a.exec(`INSERT INTO slip (site, slip, bundle, lot, pieces, mass_ug, welder, holder, holder_kind, job, rules,
			at_us, closed_us, unused, stubs, damaged, unidentified, unused_ug, by_who)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, NULL, 0, 0, 0, 0, 0, $13)`,
		a.site, e.Slip, from.Code, from.Lot, rods.Pieces, rods.Mass, e.Welder, rods.Place.Name, string(rods.Place.Kind), e.Job, rules,
		a.at, a.by)
	if err != nil {
		return err
	}
	for _, j := range e.Joints {
		err := a.exec(`INSERT INTO slip_joint (site, slip, joint, lot) VALUES ($1, $2, $3, $4)
			ON CONFLICT (site, slip, joint) DO NOTHING`, a.site, e.Slip, j, from.Lot)
		if err != nil {
			return err
		}
	}
	return a.flag(e, from.Lot)
}

// flag keeps with the slip what is to be looked at of it.
func (a *applier) flag(e *inventory.Issued, lot string) error {
	for i, f := range e.Flags {
		err := a.exec(`INSERT INTO slip_flag (site, slip, n, lot, code, why) VALUES ($1, $2, $3, $4, $5, $6)`,
			a.site, e.Slip, i+1, lot, string(f.Code), f.Why)
		if err != nil {
			return err
		}
	}
	return nil
}

// returned makes a bundle of the unused rods and closes the slip when none of
// its rods are out any more.
func (a *applier) returned(e *inventory.Returned) error {
	back, err := e.Balance()
	if err != nil {
		return err
	}
	from := e.Slip
	if e.Bundle != "" {
		from = e.Bundle
	}
	rods, err := a.present(from)
	if err != nil {
		return err
	}
	if err := rods.OutOn(e.Slip); err != nil {
		return err
	}
	if err := back.Check(e.Slip, rods.Pieces, rods.Mass); err != nil {
		return err
	}
	if e.As != "" {
		if err := a.comeBack(e, &rods, back); err != nil {
			return err
		}
	}
	if !rods.Empty() {
		if err := a.take(&rods, rods.Pieces, rods.Mass); err != nil {
			return err
		}
	}
	return a.closeSlip(e.Slip, back)
}

func (a *applier) comeBack(e *inventory.Returned, rods *inventory.Bundle, b inventory.Balance) error {
	into, err := a.place(e.Into)
	if err != nil {
		return err
	}
	back := inventory.Bundle{Code: e.As, Pieces: b.Unused, Mass: b.UnusedMass, Place: into, Rack: e.Rack, Returned: true}
	if err := a.split(rods, back); err != nil {
		return err
	}
	if err := a.arrive(rods.Lot, back.Code, inventory.Stay{Place: into, Rack: e.Rack, Returned: true}); err != nil {
		return err
	}
	if e.Wet {
		return a.happen(back.Code, inventory.GotWet, "")
	}
	return nil
}

// closeSlip adds to what came back on a slip and closes it when nothing is out
// on it any more.
func (a *applier) closeSlip(slip string, b inventory.Balance) error {
	err := a.exec(`UPDATE slip SET unused = unused + $3, stubs = stubs + $4, damaged = damaged + $5,
			unidentified = unidentified + $6, unused_ug = unused_ug + $7
		WHERE site = $1 AND slip = $2`, a.site, slip, b.Unused, b.Stubs, b.Damaged, b.Unidentified, b.UnusedMass)
	if err != nil {
		return err
	}
	// Written so that the few bundles of the slip are looked up, not all that are not empty.
	return a.exec(`UPDATE slip SET closed_us = $3 WHERE site = $1 AND slip = $2 AND NOT EXISTS (
			SELECT 1 FROM bundle WHERE site = $1 AND slip = $2 AND slip <> '' AND pieces + mass_ug > 0)`, a.site, slip, a.at)
}
