package stockdb

import (
	"ovenward/inventory"
	"ovenward/inventory/measure"
)

func (a *applier) received(e *inventory.Received) error {
	lot, b, err := e.Stock()
	if err != nil {
		return err
	}
	if err := a.note(lot.Code); err != nil {
		return err
	}
	if err := a.saveLot(lot); err != nil {
		return err
	}
	if b.Place, err = a.place(e.Into); err != nil {
		return err
	}
	b.Received, b.Born = a.at, a.at
	if err := a.saveBundle(b); err != nil {
		return err
	}
	return a.arrive(lot.Code, b.Code, inventory.Stay{Place: b.Place, Sealed: b.Sealed})
}

func (a *applier) released(e *inventory.LotReleased) error {
	if err := a.note(e.Lot); err != nil {
		return err
	}
	return a.setLotStatus(e.Lot, inventory.Released, e.Note)
}

func (a *applier) heldBack(e *inventory.HeldBack) error {
	if e.Lot != "" {
		if err := a.note(e.Lot); err != nil {
			return err
		}
		return a.setLotStatus(e.Lot, inventory.Held, e.Why)
	}
	if _, err := a.bundle(e.Bundle); err != nil {
		return err
	}
	return a.exec(`UPDATE bundle SET hold = $3 WHERE site = $1 AND bundle = $2`, a.site, e.Bundle, e.Why)
}

func (a *applier) opened(e *inventory.Opened) error {
	b, err := a.present(e.Bundle)
	if err != nil {
		return err
	}
	into := b.Place
	if e.Into != "" {
		if into, err = a.place(e.Into); err != nil {
			return err
		}
	}
	return a.open(b, into, e.Rack)
}

func (a *applier) open(b inventory.Bundle, into inventory.Place, rack string) error {
	if err := a.unseal(b.Code); err != nil {
		return err
	}
	return a.put(b.Lot, b.Code, inventory.Stay{Place: into, Rack: rack, Slip: b.Slip})
}

func (a *applier) unseal(code string) error {
	return a.exec(`UPDATE bundle SET sealed = 0 WHERE site = $1 AND bundle = $2`, a.site, code)
}

func (a *applier) moved(e *inventory.Moved) error {
	b, err := a.present(e.Bundle)
	if err != nil {
		return err
	}
	into, err := a.place(e.Into)
	if err != nil {
		return err
	}
	mass, err := optionalMass(e.Mass)
	if err != nil {
		return err
	}
	stay := inventory.Stay{Place: into, Rack: e.Rack, Sealed: b.Sealed, Slip: b.Slip}
	if b.Slip != "" && !inventory.Afield(into.Kind) {
		stay.Slip, stay.Returned = "", true
	}
	if e.As == "" {
		if err := a.put(b.Lot, b.Code, stay); err != nil {
			return err
		}
		return a.movedBack(b.Slip, stay, b.Pieces, b.Mass)
	}
	child := inventory.Bundle{Code: e.As, Pieces: int64(e.Pieces), Mass: mass, Place: into, Rack: e.Rack, Slip: stay.Slip,
		Sealed: b.Sealed, Returned: b.Returned || stay.Returned}
	if child.Pieces != b.Pieces || child.Mass != b.Mass {
		if err := b.Divisible(); err != nil {
			return err
		}
	}
	slip := b.Slip
	if err := a.split(&b, child); err != nil {
		return err
	}
	if err := a.arrive(b.Lot, child.Code, stay); err != nil {
		return err
	}
	return a.movedBack(slip, stay, child.Pieces, child.Mass)
}

// movedBack counts rods that were moved into the crib as unused on the slip
// they were out on.
func (a *applier) movedBack(slip string, s inventory.Stay, pieces int64, mass measure.Mass) error {
	if !s.Returned {
		return nil
	}
	return a.closeSlip(slip, inventory.Balance{Unused: pieces, UnusedMass: mass})
}

func (a *applier) joined(e *inventory.Joined) error {
	var first, whole inventory.Bundle
	for i, code := range e.Bundles {
		b, err := a.present(code)
		if err != nil {
			return err
		}
		if i == 0 {
			first, whole = b, b
			whole.Code, whole.Born, whole.Pieces, whole.Mass = e.As, a.at, 0, 0
		}
		if err := inventory.Joinable(first, b); err != nil {
			return err
		}
		whole.Pieces += b.Pieces
		whole.Mass += b.Mass
		whole.Tight = whole.Tight && b.Tight
		whole.Recycled = whole.Recycled || b.Recycled
		whole.Returned = whole.Returned || b.Returned
		whole.Received = min(whole.Received, b.Received)
		if err := a.take(&b, b.Pieces, b.Mass); err != nil {
			return err
		}
		if err := a.originate(e.As, b.Code, b.Lot); err != nil {
			return err
		}
	}
	if err := a.saveBundle(whole); err != nil {
		return err
	}
	return a.arrive(whole.Lot, whole.Code, inventory.Stay{Place: whole.Place, Rack: whole.Rack, Slip: whole.Slip})
}

func (a *applier) baked(e *inventory.Baked) error {
	b, err := a.inCrib(e.Bundle)
	if err != nil {
		return err
	}
	place, err := a.place(e.Place)
	if err != nil {
		return err
	}
	set, err := measure.ParseTemperature(e.Set)
	if err != nil {
		return err
	}
	load, err := optionalMass(e.Load)
	if err != nil {
		return err
	}
	depth, err := optionalLength(e.Depth)
	if err != nil {
		return err
	}
	if b.Sealed {
		if err := a.unseal(b.Code); err != nil {
			return err
		}
	}
	if err := a.exec(`UPDATE bundle SET returned = 1 WHERE site = $1 AND bundle = $2`, a.site, b.Code); err != nil {
		return err
	}
	return a.put(b.Lot, b.Code, inventory.Stay{Place: place, Rack: e.Rack,
		Bake: &inventory.BakeOrder{Set: set, Layers: int64(e.Layers), Load: load, Depth: depth}})
}

func (a *applier) happen(bundle string, k inventory.EventKind, disposition string) error {
	b, err := a.present(bundle)
	if err != nil {
		return err
	}
	return a.exec(`INSERT INTO happening (site, bundle, at_us, seq, kind, disposition, lot)
		VALUES ($1, $2, $3, $4, $5, $6, $7)`, a.site, bundle, a.at, a.seq, string(k), disposition, b.Lot)
}

func (a *applier) scrapped(e *inventory.Scrapped) error {
	mass, err := optionalMass(e.Mass)
	if err != nil {
		return err
	}
	b, err := a.inCrib(e.Bundle)
	if err != nil {
		return err
	}
	pieces := int64(e.Pieces)
	if pieces == 0 && mass == 0 {
		pieces, mass = b.Pieces, b.Mass
	}
	if pieces != b.Pieces || mass != b.Mass {
		if err := b.Divisible(); err != nil {
			return err
		}
	}
	return a.lose(b, "scrap", pieces, mass, e.Why)
}

// counted sets the books to what was counted and keeps the difference; a
// surplus is a loss below zero.
func (a *applier) counted(e *inventory.Counted) error {
	mass, err := optionalMass(e.Mass)
	if err != nil {
		return err
	}
	b, err := a.bundle(e.Bundle)
	if err != nil {
		return err
	}
	if err := b.Countable(int64(e.Pieces), mass != 0); err != nil {
		return err
	}
	return a.lose(b, "count", b.Pieces-int64(e.Pieces), b.Mass-mass, e.Why)
}

func (a *applier) lose(b inventory.Bundle, kind string, pieces int64, mass measure.Mass, why string) error {
	if err := a.take(&b, pieces, mass); err != nil {
		return err
	}
	return a.exec(`INSERT INTO loss (site, seq, lot, bundle, kind, pieces, mass_ug, reason, at_us)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)`, a.site, a.seq, b.Lot, b.Code, kind, pieces, mass, why, a.at)
}

func optionalLength(s string) (measure.Length, error) {
	if s == "" {
		return 0, nil
	}
	return measure.ParseLength(s)
}

func optionalMass(s string) (measure.Mass, error) {
	if s == "" {
		return 0, nil
	}
	return measure.ParseMass(s)
}
