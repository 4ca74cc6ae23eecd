package stockdb

import (
	"context"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/measure"
)

const stayColumns = `bundle, from_us, seq, to_us, place, place_kind, sealed, slip, returned, bake_set_k, bake_layers, bake_ug`

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
}

func (r stayRow) stay() inventory.Stay {
	s := inventory.Stay{Place: inventory.Place{Name: r.Place, Kind: inventory.PlaceKind(r.Kind)}, From: r.From,
		Sealed: r.Sealed, Slip: r.Slip, Returned: r.Returned}
	if r.To != nil {
		s.To = *r.To
	}
	if r.BakeSet != nil {
		s.Bake = &inventory.BakeOrder{Set: measure.Temperature(*r.BakeSet), Layers: r.Layers, Load: r.Load}
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

// put lets a bundle's stay begin at the instant of the fact. The stay that
// holds the instant ends there; one that begins later keeps its beginning, so
// that an entry made late falls into its place.
func (a *applier) put(lot, bundle string, s inventory.Stay) error {
	var end *measure.Instant
	rows, err := list[stayRow](a.ctx, a.tx, "stays of "+bundle, `SELECT `+stayColumns+` FROM stay
		WHERE site = $1 AND bundle = $2 AND (to_us IS NULL OR to_us >= $3) ORDER BY from_us, seq`, a.site, bundle, a.at)
	if err != nil {
		return err
	}
	for _, r := range rows {
		switch {
		case r.From > a.at:
			if end == nil {
				end = &r.From
			}
		case r.To == nil || *r.To > a.at:
			if err := a.endStay(bundle, r.From, r.Seq); err != nil {
				return err
			}
			if end == nil && r.To != nil {
				end = r.To
			}
		}
	}
	if err := a.insertStay(lot, bundle, s, end); err != nil {
		return err
	}
	if end != nil {
		return nil
	}
	return a.exec(`UPDATE bundle SET place = $3, place_kind = $4, slip = $5 WHERE site = $1 AND bundle = $2`,
		a.site, bundle, s.Place.Name, string(s.Place.Kind), s.Slip)
}

func (a *applier) endStay(bundle string, from measure.Instant, seq int64) error {
	return a.exec(`UPDATE stay SET to_us = $5 WHERE site = $1 AND bundle = $2 AND from_us = $3 AND seq = $4`,
		a.site, bundle, from, seq, a.at)
}

func (a *applier) insertStay(lot, bundle string, s inventory.Stay, end *measure.Instant) error {
	var set *int64
	var layers int64
	var load measure.Mass
	if s.Bake != nil {
		k := int64(s.Bake.Set)
		set, layers, load = &k, s.Bake.Layers, s.Bake.Load
	}
	return a.exec(`INSERT INTO stay (site, bundle, from_us, seq, to_us, place, place_kind, sealed, slip, returned,
			bake_set_k, bake_layers, bake_ug, lot)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14)`,
		a.site, bundle, a.at, a.seq, end, s.Place.Name, string(s.Place.Kind), bit(s.Sealed), s.Slip, bit(s.Returned),
		set, layers, load, lot)
}

// leave ends a bundle's last stay: nothing is left of it.
func (a *applier) leave(bundle string) error {
	return a.exec(`UPDATE stay SET to_us = $3 WHERE site = $1 AND bundle = $2 AND to_us IS NULL AND from_us <= $3`,
		a.site, bundle, a.at)
}
