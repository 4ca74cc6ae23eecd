package stockdb

import (
	"cmp"
	"context"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// Remark is something that was seen of stock.
type Remark struct {
	Lot    string          `db:"lot" json:"lot"`
	Bundle string          `db:"bundle" json:"bundle,omitempty"`
	Slip   string          `db:"slip" json:"slip,omitempty"`
	What   inventory.Sight `db:"what" json:"what"`
	Words  string          `db:"words" json:"words,omitempty"`
	SeenBy string          `db:"seen_by" json:"seen_by"`
	At     measure.Instant `db:"at_us" json:"at_us"`
}

const remarks = `SELECT lot, bundle, slip, what, words, seen_by, at_us FROM remark WHERE site = $1 `

// RemarksOfLot returns what was seen of a lot's rods, oldest first.
func RemarksOfLot(ctx context.Context, tx *sqlx.Tx, site, lot string) ([]Remark, error) {
	return list[Remark](ctx, tx, "remarks", remarks+`AND lot = $2 ORDER BY at_us, seq`, site, lot)
}

const remarksIn = remarks + `AND at_us >= $2 AND at_us < $3 ORDER BY at_us, seq`

// Remarks returns what was seen in a stretch of time, the later end not
// included, oldest first.
func Remarks(ctx context.Context, tx *sqlx.Tx, site string, from, to measure.Instant) ([]Remark, error) {
	return list[Remark](ctx, tx, "remarks", remarksIn, site, from, to)
}

func (a *applier) noted(e *inventory.Noted) error {
	b, err := a.bundle(cmp.Or(e.Bundle, e.Slip))
	if err != nil {
		return err
	}
	return a.exec(`INSERT INTO remark (site, seq, lot, bundle, slip, what, words, seen_by, at_us)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)`,
		a.site, a.seq, b.Lot, e.Bundle, e.Slip, string(e.What), e.Words, cmp.Or(e.SeenBy, a.by), a.at)
}
