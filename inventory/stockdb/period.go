package stockdb

import (
	"context"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// Two questions in one: each end of a slip is found by an index of its own,
// where an OR of both would read every slip of the site.
const slipsIn = `slip IN (
	SELECT slip FROM slip WHERE site = $1 AND at_us >= $2 AND at_us < $3
	UNION SELECT slip FROM slip WHERE site = $1 AND closed_us >= $2 AND closed_us < $3)`

// SlipsIn returns the slips that went out or were closed from one instant up to
// another, the latter left out, in the order in which they went out.
func SlipsIn(ctx context.Context, tx *sqlx.Tx, site string, from, to measure.Instant) ([]inventory.Slip, error) {
	return slips(ctx, tx, site, slipsIn, from, to)
}

const lossesIn = `SELECT lot, bundle, kind, pieces, mass_ug, reason, at_us FROM loss
	WHERE site = $1 AND at_us >= $2 AND at_us < $3 ORDER BY at_us, seq`

// LossesIn returns what was scrapped or found missing from one instant up to
// another, the latter left out, in order.
func LossesIn(ctx context.Context, tx *sqlx.Tx, site string, from, to measure.Instant) ([]Loss, error) {
	return list[Loss](ctx, tx, "losses", lossesIn, site, from, to)
}

const bakesIn = `SELECT ` + stayColumns + ` FROM stay
	WHERE site = $1 AND bake_set_k IS NOT NULL AND from_us >= $2 AND from_us < $3 ORDER BY from_us, bundle, seq`

// BakesIn returns the stays in bake ovens that began from one instant up to
// another, the latter left out, and were bakes, in order.
func BakesIn(ctx context.Context, tx *sqlx.Tx, site string, from, to measure.Instant) ([]Content, error) {
	rows, err := list[stayRow](ctx, tx, "bakes", bakesIn, site, from, to)
	out := make([]Content, len(rows))
	for i, r := range rows {
		out[i] = Content{Bundle: r.Bundle, Stay: r.stay()}
	}
	return out, err
}
