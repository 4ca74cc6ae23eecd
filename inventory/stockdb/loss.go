package stockdb

import (
	"context"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory/measure"
)

// Loss is what was scrapped, or what a count found missing; a surplus found is
// less than zero.
type Loss struct {
	Lot    string          `db:"lot" json:"lot"`
	Bundle string          `db:"bundle" json:"bundle"`
	Kind   string          `db:"kind" json:"kind"` // "scrap" or "count"
	Pieces int64           `db:"pieces" json:"pieces"`
	Mass   measure.Mass    `db:"mass_ug" json:"mass_ug"`
	Reason string          `db:"reason" json:"reason"`
	At     measure.Instant `db:"at_us" json:"at_us"`
}

// Losses returns the losses of a lot, oldest first.
func Losses(ctx context.Context, tx *sqlx.Tx, site, lot string) ([]Loss, error) {
	return list[Loss](ctx, tx, "losses of lot "+lot, `SELECT lot, bundle, kind, pieces, mass_ug, reason, at_us FROM loss
		WHERE site = $1 AND lot = $2 ORDER BY at_us, seq`, site, lot)
}
