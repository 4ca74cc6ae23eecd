package stockdb

import (
	"context"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// Content is a bundle's stay in a place.
type Content struct {
	Bundle string
	Stay   inventory.Stay
}

// Heated returns the stays in heated places that began by one instant and did
// not end before another, in order.
func Heated(ctx context.Context, tx *sqlx.Tx, site string, from, to measure.Instant) ([]Content, error) {
	var out []Content
	for _, kind := range []inventory.PlaceKind{inventory.HoldingOven, inventory.BakeOven, inventory.Quiver} {
		rows, err := list[stayRow](ctx, tx, "what was in the ovens", `SELECT `+stayColumns+` FROM stay
			WHERE site = $1 AND place_kind = $2 AND to_us >= $3 AND from_us <= $4
			UNION ALL SELECT `+stayColumns+` FROM stay
			WHERE site = $1 AND place_kind = $2 AND to_us IS NULL AND from_us <= $4
			ORDER BY from_us, bundle, seq`, site, string(kind), from, to)
		if err != nil {
			return nil, err
		}
		for _, r := range rows {
			out = append(out, Content{Bundle: r.Bundle, Stay: r.stay()})
		}
	}
	return out, nil
}
