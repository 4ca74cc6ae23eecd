package stockdb

import (
	"context"
	"fmt"

	"github.com/jmoiron/sqlx"
)

// Transfer copies every projection of a site from an SQLite database to a
// PostgreSQL one that has none of it, by the server's bulk loader.
func Transfer(ctx context.Context, from, into *sqlx.Tx, site string) error {
	for _, p := range projections {
		err := transfer(ctx, from, into, site, p.name, p.columns)
		if err == nil {
			err = analyze(ctx, into, p.name)
		}
		if err != nil {
			return fmt.Errorf("table %s: %w", p.name, err)
		}
	}
	return nil
}

func transfer(ctx context.Context, from, into *sqlx.Tx, site, table, columns string) (err error) {
	rows, err := from.QueryxContext(ctx, `SELECT `+columns+` FROM `+table+` WHERE site = $1`, site)
	if err != nil {
		return err
	}
	defer rows.Close()
	put, err := into.PrepareContext(ctx, `COPY `+table+` (`+columns+`) FROM STDIN`)
	if err != nil {
		return err
	}
	defer func() {
		if cerr := put.Close(); err == nil {
			err = cerr
		}
	}()
	for rows.Next() {
		cells, err := rows.SliceScan()
		if err != nil {
			return err
		}
		if _, err := put.ExecContext(ctx, cells...); err != nil {
			return err
		}
	}
	if err := rows.Err(); err != nil {
		return err
	}
	_, err = put.ExecContext(ctx) // ends the copy and reports a bad row
	return err
}

// analyze tells the server's planner of what was copied. Until it notices by
// itself it would go through whole tables.
func analyze(ctx context.Context, tx *sqlx.Tx, table string) error {
	_, err := tx.ExecContext(ctx, `ANALYZE `+table)
	return err
}
