package app

import (
	"fmt"

	"ovenward/forecast/joint"
	"ovenward/forecast/metal"
	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// ItemAmount prints so many pieces of an item without a unit that its table has:
// rods as a number, wire and flux, whose pieces are grams, in the site's unit.
func ItemAmount(i joint.Item, pieces int64, units measure.UnitSystem) string {
	if !metal.ByMass(i.Class) {
		return fmt.Sprint(pieces)
	}
	value, unit := HeavyUnit(pieces, units)
	return fmt.Sprintf("%.1f %s", value, unit)
}

// ItemWords prints so many pieces of an item in words: "40 rods", "12.5 kg".
func ItemWords(i joint.Item, pieces int64, units measure.UnitSystem) string {
	if !metal.ByMass(i.Class) {
		return inventory.Rods(pieces)
	}
	return ItemAmount(i, pieces, units)
}

// HeavyUnit returns grams in the unit in which a site buys.
func HeavyUnit(grams int64, units measure.UnitSystem) (value float64, unit string) {
	m := measure.Mass(grams) * measure.Mass(measure.Gram)
	if units == measure.US {
		return m.Pounds(), "lb"
	}
	return m.Kilograms(), "kg"
}

// held returns what a bundle holds, in the pieces of its item: rods, or grams.
func held(b inventory.Bundle) int64 {
	if b.Mass > 0 {
		return metal.Grams(b.Mass)
	}
	return b.Pieces
}

// went is what a slip took and what came back of it, in the pieces of its item.
type went struct{ issued, unused, spoilt int64 }

// wentOut reads a slip: of rods, or of wire and flux by mass.
func wentOut(s inventory.Slip) went {
	if s.Mass > 0 {
		return went{issued: metal.Grams(s.Mass), unused: metal.Grams(s.Back.UnusedMass)}
	}
	return went{s.Pieces, s.Back.Unused, s.Back.Damaged + s.Back.Unidentified}
}

func (w went) used() int64 { return w.issued - w.unused - w.spoilt }
