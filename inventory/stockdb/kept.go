package stockdb

import (
	"context"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// Kept is a stay of stock in a place, with what rules ask of it.
type Kept struct {
	Bundle  string            `db:"bundle"`
	Lot     string            `db:"lot"`
	Package inventory.Package `db:"package"`
	Tight   bool              `db:"tight"`
	Sealed  bool              `db:"sealed"`
	From    measure.Instant   `db:"from_us"`
	To      measure.Instant   `db:"to_us"` // zero while it lasts
}

// KeptIn returns the stays in a place that began by one instant and did not end
// before another, in order.
func KeptIn(ctx context.Context, tx *sqlx.Tx, site, place string, from, to measure.Instant) ([]Kept, error) {
	const columns = `stay.bundle AS bundle, bundle.lot, bundle.package, bundle.tight, stay.sealed, stay.from_us AS from_us, COALESCE(stay.to_us, 0) AS to_us
		FROM stay JOIN bundle ON bundle.site = stay.site AND bundle.bundle = stay.bundle`
	return list[Kept](ctx, tx, "what was in "+place, `SELECT `+columns+`
		WHERE stay.site = $1 AND stay.place = $2 AND stay.to_us >= $3 AND stay.from_us <= $4
		UNION ALL SELECT `+columns+`
		WHERE stay.site = $1 AND stay.place = $2 AND stay.to_us IS NULL AND stay.from_us <= $4
		ORDER BY from_us, bundle`, site, place, from, to)
}
