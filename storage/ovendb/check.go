package ovendb

import (
	"context"
	"fmt"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/ledger"
	"ovenward/inventory/measure"
)

// Checked is a look that a person took at a heated place.
type Checked struct {
	Place string              `db:"place"`
	At    measure.Instant     `db:"at_us"`
	Noted measure.Instant     `db:"noted_us"`
	Temp  measure.Temperature `db:"temp_k"`
	Read  bool                `db:"read"` // whether the thermometer was read
	Floor int64               `db:"floor"`
	Note  string              `db:"note"`
	By    string              `db:"by_who"`
}

// ChecksOf returns the checks of a place from one instant up to another, in
// order of time, with the last one before the first instant.
func ChecksOf(ctx context.Context, tx *sqlx.Tx, site, place string, from, to measure.Instant) ([]Checked, error) {
	var list []Checked
	err := tx.SelectContext(ctx, &list, `SELECT place, at_us, noted_us, COALESCE(temp_k, 0) AS temp_k,
			CASE WHEN temp_k IS NULL THEN 0 ELSE 1 END AS read, floor, note, by_who FROM oven_check
		WHERE site = $1 AND place = $2 AND at_us < $4 AND at_us >= COALESCE((SELECT MAX(at_us) FROM oven_check
			WHERE site = $1 AND place = $2 AND at_us < $3), $3)
		ORDER BY at_us, seq`, site, place, from, to)
	if err != nil {
		return nil, fmt.Errorf("checks of %s: %w", place, err)
	}
	return list, nil
}

func checked(ctx context.Context, tx *sqlx.Tx, f ledger.Fact, e *inventory.OvenChecked) error {
	var temp *int64
	if e.Value != "" {
		t, err := measure.ParseTemperature(e.Value)
		if err != nil {
			return err
		}
		k := int64(t)
		temp = &k
	}
	_, err := tx.ExecContext(ctx, `INSERT INTO oven_check (site, place, at_us, seq, noted_us, temp_k, floor, note, by_who)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)`,
		f.Site, e.Place, f.At, f.Seq, f.Noted, temp, int64(e.Floor), e.Note, f.By)
	return err
}
