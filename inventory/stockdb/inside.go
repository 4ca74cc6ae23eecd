package stockdb

import (
	"context"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// Inside returns the stays in a place that were going on at an instant, in the
// order in which they began.
func Inside(ctx context.Context, tx *sqlx.Tx, site string, p inventory.Place, at measure.Instant) ([]Content, error) {
	rows, err := list[stayRow](ctx, tx, "what is in "+p.Name, `SELECT `+stayColumns+` FROM stay
		WHERE site = $1 AND place_kind = $2 AND place = $3 AND to_us > $4 AND from_us <= $4
		UNION ALL SELECT `+stayColumns+` FROM stay
		WHERE site = $1 AND place_kind = $2 AND place = $3 AND to_us IS NULL AND from_us <= $4
		ORDER BY from_us, bundle, seq`, site, string(p.Kind), p.Name, at)
	out := make([]Content, len(rows))
	for i, r := range rows {
		out[i] = Content{Bundle: r.Bundle, Stay: r.stay()}
	}
	return out, err
}

// WasBaked reports whether a bundle, or rods that it came from, were in a bake
// oven for a run before an instant.
func WasBaked(ctx context.Context, tx *sqlx.Tx, site, bundle string, at measure.Instant) (bool, error) {
	rows, err := list[int64](ctx, tx, "bakes of "+bundle, past(oneBundle)+`SELECT 1 FROM past p CROSS JOIN stay s
		WHERE s.site = $1 AND s.bundle = p.bundle AND s.bake_set_k IS NOT NULL AND s.from_us <= $2 LIMIT 1`,
		site, at, bundle)
	return len(rows) > 0, err
}

// Touched returns the bundles that were in a place, opened, between two
// instants, and all that their rods became, in the order of their codes.
func Touched(ctx context.Context, tx *sqlx.Tx, site string, p inventory.Place, from, to measure.Instant) ([]string, error) {
	return list[string](ctx, tx, "what was in "+p.Name, `WITH RECURSIVE touched (bundle) AS (
			SELECT bundle FROM stay WHERE site = $1 AND place_kind = $2 AND place = $3 AND sealed = 0
				AND from_us <= $5 AND (to_us IS NULL OR to_us >= $4)
			UNION
			SELECT o.bundle FROM touched t CROSS JOIN origin o WHERE o.site = $1 AND o.parent = t.bundle)
		SELECT bundle FROM touched ORDER BY bundle`, site, string(p.Kind), p.Name, from, to)
}
