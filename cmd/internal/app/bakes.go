package app

import (
	"context"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
	"ovenward/storage/exposure"
)

// BakeRun is a bundle's time in a bake oven, as it is judged.
type BakeRun struct {
	Bundle string
	Lot    inventory.Lot
	Stay   inventory.Stay
	Piece  exposure.Piece     // the run as it counted
	After  exposure.Judgement // of the bundle when it left the oven, or now
	Ran    bool               // the run is judged: it has ended
	Valid  bool
}

// Bakes returns the bakes that began from one instant up to another, the latter
// left out, each judged when it ended, or as it stands now.
func (a *App) Bakes(ctx context.Context, from, to measure.Instant, ruleset string) (list []BakeRun, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		list = nil
		stays, err := stockdb.BakesIn(ctx, v.tx, v.site, from, to)
		if err != nil {
			return err
		}
		for _, s := range stays {
			r, err := v.bakeRun(s, ruleset)
			if err != nil {
				return err
			}
			list = append(list, r)
		}
		return nil
	})
	return list, err
}

// bakeRun judges a bundle right after it left the oven: a run is judged when it
// ends.
func (v *view) bakeRun(s stockdb.Content, ruleset string) (r BakeRun, err error) {
	r.Bundle, r.Stay = s.Bundle, s.Stay
	b, err := stockdb.Bundle(v.ctx, v.tx, v.site, s.Bundle)
	if err != nil {
		return r, err
	}
	if r.Lot, err = v.lot(b.Lot); err != nil {
		return r, err
	}
	set, err := v.setFor(inventory.Bundle{}, ruleset)
	if set == nil || err != nil {
		return r, err
	}
	then := *v
	if s.Stay.To != 0 && s.Stay.To < v.at {
		then.at = s.Stay.To
		r.Ran = true
	}
	l, err := then.look(set, b, true)
	if err != nil {
		return r, err
	}
	r.After = l.Judgement
	for _, p := range l.Judgement.Pieces {
		if p.Kind == exposure.Baking && p.From == s.Stay.From && p.Bundle == s.Bundle {
			r.Piece = p
		}
	}
	r.Valid = r.Ran && r.Piece.To != 0 && r.Piece.Why == ""
	return r, nil
}
