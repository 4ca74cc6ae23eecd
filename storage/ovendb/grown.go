package ovendb

import (
	"context"
	"fmt"

	"github.com/jmoiron/sqlx"
)

// Grown is how far a file of a watched folder was read.
type Grown struct {
	Begins string `db:"begins"` // digest of its first rows, by which it is known again under another name
	Name   string `db:"name"`   // by which it was read last
	Upto   int64  `db:"upto"`   // bytes
	Lines  int64  `db:"lines"`  // of those
	Ends   string `db:"ends"`   // digest of the last bytes before Upto
}

// GrownOf returns how far a file was read, zero where it was not.
func GrownOf(ctx context.Context, tx *sqlx.Tx, site, folder, begins string) (Grown, error) {
	var list []Grown
	err := tx.SelectContext(ctx, &list, `SELECT begins, name, upto, lines, ends FROM reading_file
		WHERE site = $1 AND folder = $2 AND begins = $3`, site, folder, begins)
	if err != nil {
		return Grown{}, fmt.Errorf("folder %s: %w", folder, err)
	}
	if len(list) == 0 {
		return Grown{Begins: begins}, nil
	}
	return list[0], nil
}

// SetGrown notes how far a file was read.
func SetGrown(ctx context.Context, tx *sqlx.Tx, site, folder string, g Grown) error {
	_, err := tx.ExecContext(ctx, `INSERT INTO reading_file (site, folder, begins, name, upto, lines, ends)
		VALUES ($1, $2, $3, $4, $5, $6, $7)
		ON CONFLICT (site, folder, begins) DO UPDATE SET name = excluded.name, upto = excluded.upto,
			lines = excluded.lines, ends = excluded.ends`, site, folder, g.Begins, g.Name, g.Upto, g.Lines, g.Ends)
	if err != nil {
		return fmt.Errorf("folder %s, file %s: %w", folder, g.Name, err)
	}
	return nil
}
