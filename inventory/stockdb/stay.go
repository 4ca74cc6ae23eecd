package stockdb

import (
	"context"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/measure"
)

const stayColumns = `bundle, from_us, seq, to_us, place, place_kind, sealed, slip, returned, bake_set_k, bake_layers, bake_ug, rack,
	bake_depth_nm`

type stayRow struct {
	Bundle   string           `db:"bundle"`
	From     measure.Instant  `db:"from_us"`
	Seq      int64            `db:"seq"`
	To       *measure.Instant `db:"to_us"`
	Place    string           `db:"place"`
	Kind     string           `db:"place_kind"`
	Sealed   bool             `db:"sealed"`
	Slip     string           `db:"slip"`
	Returned bool             `db:"returned"`
	BakeSet  *int64           `db:"bake_set_k"`
	Layers   int64            `db:"bake_layers"`
	Load     measure.Mass     `db:"bake_ug"`
	Rack     string           `db:"rack"`
	Depth    measure.Length   `db:"bake_depth_nm"`
}

func (r stayRow) stay() inventory.Stay {
	s := inventory.Stay{Place: inventory.Place{Name: r.Place, Kind: inventory.PlaceKind(r.Kind)}, From: r.From,
		Rack: r.Rack, Sealed: r.Sealed, Slip: r.Slip, Returned: r.Returned}
	if r.To != nil {
		s.To = *r.To
	}
	if r.BakeSet != nil {
		s.Bake = &inventory.BakeOrder{Set: measure.Temperature(*r.BakeSet), Layers: r.Layers, Load: r.Load, Depth: r.Depth}
	}
	return s
}

// Stays returns a bundle's own stays that began by an instant, in order.
func Stays(ctx context.Context, tx *sqlx.Tx, site, bundle string, until measure.Instant) ([]inventory.Stay, error) {
	rows, err := list[stayRow](ctx, tx, "stays of "+bundle, `SELECT `+stayColumns+` FROM stay
		WHERE site = $1 AND bundle = $2 AND from_us <= $3 ORDER BY from_us, seq`, site, bundle, until)
	if err != nil {
		return nil, err
	}
	out := make([]inventory.Stay, len(rows))
	for i, r := range rows {
		out[i] = r.stay()
	}
	return out, nil
}

// WasIn reports whether anything ever was in a place.
func WasIn(ctx context.Context, tx *sqlx.Tx, site, place string) (bool, error) {
	rows, err := list[int64](ctx, tx, "stays in "+place, `SELECT 1 FROM stay WHERE site = $1 AND place = $2 LIMIT 1`, site, place)
	return len(rows) > 0, err
}

// put lets a bundle's stay begin at the instant of the fact, where the one
// before it ends.
func (a *applier) put(lot, bundle string, s inventory.Stay) error {
	if err := a.leave(bundle); err != nil {
		return err
	}
	if err := a.arrive(lot, bundle, s); err != nil {
		return err
	}
	return a.exec(`UPDATE bundle SET place = $3, place_kind = $4, slip = $5, rack = $7,
			returned = CASE WHEN $6 = 1 THEN 1 ELSE returned END
		WHERE site = $1 AND bundle = $2`, a.site, bundle, s.Place.Name, string(s.Place.Kind), s.Slip, bit(s.Returned), s.Rack)
}

// arrive lets the first stay of a new bundle begin.
func (a *applier) arrive(lot, bundle string, s inventory.Stay) error {
	var set *int64
	var layers int64
	var load measure.Mass
	var depth measure.Length
	if s.Bake != nil {
		k := int64(s.Bake.Set)
		set, layers, load, depth = &k, s.Bake.Layers, s.Bake.Load, s.Bake.Depth
	}
	return a.exec(`INSERT INTO stay (site, bundle, from_us, seq, to_us, place, place_kind, sealed, slip, returned,
			bake_set_k, bake_layers, bake_ug, lot, rack, bake_depth_nm)
		VALUES ($1, $2, $3, $4, NULL, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15)`,
		a.site, bundle, a.at, a.seq, s.Place.Name, string(s.Place.Kind), bit(s.Sealed), s.Slip, bit(s.Returned),
		set, layers, load, lot, s.Rack, depth)
}

// leave ends a bundle's last stay.
func (a *applier) leave(bundle string) error {
	return a.exec(`UPDATE stay SET to_us = $3 WHERE site = $1 AND bundle = $2 AND to_us IS NULL`, a.site, bundle, a.at)
}
