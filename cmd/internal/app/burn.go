package app

import (
	"context"
	"errors"
	"fmt"

	"ovenward/forecast/joint"
	"ovenward/forecast/metal"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/exposure"
	"ovenward/storage/rules"
)

// Burn is the most rods that one welder burns before they are due back, and how
// that comes.
type Burn struct {
	Rods   int64
	Within measure.Duration // of the welder's work
	One    measure.Duration // that one rod burns; zero where the rule set's rate decided
	Rod    metal.Rod
	Pace   metal.Pace
	Rule   string // the rule set's row that allows fewer; empty where the arc decides
}

// Burn returns the most rods that the welder of a slip burns before they are due
// back: by deposition rate, operating factor and what is left of the exposure
// limit, or by the rule set's own rate where that allows fewer. False where
// neither is known, or nothing limits the time.
func (a *App) Burn(ctx context.Context, l inventory.Lot, e *inventory.Issued, at measure.Instant) (Burn, bool, error) {
	if !l.Counted() || e.Judged == nil || e.Judged.Due <= at {
		return Burn{}, false, nil
	}
	within := e.Judged.Due.Sub(at)
	burn, known, err := a.byArc(l, within)
	if err != nil {
		return Burn{}, false, err
	}
	err = a.read(ctx, at, func(v *view) error {
		b, err := v.bundle(e.Bundle)
		if err != nil {
			return err
		}
		set, err := v.setByID(e.Judged.Rules)
		if err != nil {
			return err
		}
		if c, ok := set.Cap(subject(l, b), l.Diameter, within); ok && (!known || c.Rods < burn.Rods) {
			burn, known = Burn{Rods: c.Rods, Within: c.Hours, Rule: c.Rule}, true
		}
		return nil
	})
	return burn, known, err
}

// byArc returns what the tables say; false where they do not know how fast rods
// of the lot burn. A rod weighs what it weighed on receipt, where that is known.
func (a *App) byArc(l inventory.Lot, within measure.Duration) (Burn, bool, error) {
	t, err := a.tables()
	if err != nil {
		return Burn{}, false, err
	}
	item := joint.Item{Class: l.Mark.Canonical, Diameter: l.Diameter}
	pace, known := t.Metal.Pace(item)
	if !known { // an offer is a help: without figures there is none
		return Burn{}, false, nil
	}
	r, err := t.Metal.Rod(item)
	if err != nil {
		return Burn{}, false, unlessUnknown(err)
	}
	if l.Piece > 0 {
		if weighed, err := t.Metal.Weigh(r.Item, l.Piece, "receipt of lot "+l.Code).Rod(r.Item); err == nil {
			r = weighed
		}
	}
	return Burn{Rods: pace.Rods(r, within), Within: within, One: pace.Burn(r), Rod: r, Pace: pace}, true, nil
}

// unlessUnknown lets pass that the tables do not have an item.
func unlessUnknown(err error) error {
	if _, unknown := errors.AsType[*joint.UncomputedError](err); unknown {
		return nil
	}
	return err
}

// offering adds to a refusal for want of a number how many rods one welder burns
// before they would be due.
func (d *desk) offering(set *rules.Set, l inventory.Lot, b inventory.Bundle, err error) error {
	ref, ok := errors.AsType[*inventory.Refusal](err)
	if !ok || ref.Code != inventory.Unit || ref.Subject != "pieces" {
		return err
	}
	j, judging := d.judged(set, b)
	if judging != nil || j.Kind == exposure.Baking {
		return err
	}
	left := j.Limit - j.Most
	burn, known, reading := d.app.byArc(l, left)
	if c, capped := set.Cap(subject(l, b), l.Diameter, left); capped && (!known || c.Rods < burn.Rods) {
		burn, known = Burn{Rods: c.Rods, Within: c.Hours}, true
	}
	if reading == nil && known && left > 0 {
		ref.Next = fmt.Sprintf("say how many rods: one welder burns %d in the %s until they are due", burn.Rods, left)
	}
	return ref
}
