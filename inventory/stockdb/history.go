package stockdb

import (
	"context"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/measure"
)

type originRow struct {
	Parent string          `db:"parent"`
	At     measure.Instant `db:"at_us"`
}

type eventRow struct {
	At          measure.Instant `db:"at_us"`
	Kind        string          `db:"kind"`
	Disposition string          `db:"disposition"`
}

// History returns what happened to the rods of a bundle by an instant, back to
// the can they came in.
func History(ctx context.Context, tx *sqlx.Tx, site, bundle string, until measure.Instant) (*inventory.History, error) {
	b, err := Bundle(ctx, tx, site, bundle)
	if err != nil {
		return nil, err
	}
	return history(ctx, tx, site, b.Code, b.Tight, b.Born, until)
}

func history(ctx context.Context, tx *sqlx.Tx, site, code string, tight bool, born, until measure.Instant) (*inventory.History, error) {
	h := &inventory.History{Bundle: code, Tight: tight, Born: born}
	var err error
	if h.Stays, err = Stays(ctx, tx, site, code, until); err != nil {
		return nil, err
	}
	events, err := list[eventRow](ctx, tx, "events of "+code, `SELECT at_us, kind, disposition FROM happening
		WHERE site = $1 AND bundle = $2 AND at_us <= $3 ORDER BY at_us, seq`, site, code, until)
	if err != nil {
		return nil, err
	}
	for _, e := range events {
		h.Events = append(h.Events, inventory.Event{At: e.At, Kind: inventory.EventKind(e.Kind), Disposition: e.Disposition})
	}
	parents, err := list[originRow](ctx, tx, "origin of "+code, `SELECT parent, at_us FROM origin
		WHERE site = $1 AND bundle = $2 ORDER BY parent`, site, code)
	if err != nil {
		return nil, err
	}
	for _, p := range parents {
		up, err := History(ctx, tx, site, p.Parent, p.At)
		if err != nil {
			return nil, err
		}
		h.Origins = append(h.Origins, inventory.Origin{History: up, Until: p.At})
	}
	return h, nil
}

// Children returns the bundles that rods of a bundle went into, with when.
func Children(ctx context.Context, tx *sqlx.Tx, site, bundle string) ([]string, error) {
	return list[string](ctx, tx, "bundles made of "+bundle, `SELECT bundle FROM origin
		WHERE site = $1 AND parent = $2 ORDER BY at_us, bundle`, site, bundle)
}

// Parents returns the bundles that rods of a bundle came from.
func Parents(ctx context.Context, tx *sqlx.Tx, site, bundle string) ([]string, error) {
	return list[string](ctx, tx, "bundles before "+bundle, `SELECT parent FROM origin
		WHERE site = $1 AND bundle = $2 ORDER BY at_us, parent`, site, bundle)
}
