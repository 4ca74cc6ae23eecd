package ovendb

import (
	"context"

	"github.com/jmoiron/sqlx"

	"ovenward/migrations/db"
)

// copyFrom is the number of rows from which PostgreSQL's COPY beats inserts in
// spite of its savepoint.
const copyFrom = 50

// copied sends readings through PostgreSQL's COPY, which cannot step over one
// that is there already: the answer is then false and nothing was stored.
func copied(ctx context.Context, tx *sqlx.Tx, site string, came Arrival, runs []*run) (bool, error) {
	if _, err := tx.ExecContext(ctx, `SAVEPOINT copying`); err != nil {
		return false, err
	}
	err := copyRows(ctx, tx, site, came, runs)
	if db.KeyTaken(err) {
		_, err = tx.ExecContext(ctx, `ROLLBACK TO SAVEPOINT copying`)
		return false, err
	}
	if err != nil {
		return false, err
	}
	_, err = tx.ExecContext(ctx, `RELEASE SAVEPOINT copying`)
	return true, err
}

func copyRows(ctx context.Context, tx *sqlx.Tx, site string, came Arrival, runs []*run) (err error) {
	stmt, err := tx.PrepareContext(ctx, `COPY reading (site, sensor, at_us, temp_k, noted_us, source) FROM STDIN`)
	if err != nil {
		return err
	}
	defer func() {
		if cerr := stmt.Close(); err == nil {
			err = cerr
		}
	}()
	for _, r := range runs {
		for _, one := range r.list {
			if _, err := stmt.ExecContext(ctx, site, r.sensor, int64(one.At), int64(one.Temp), int64(came.Noted), came.source()); err != nil {
				return err
			}
		}
	}
	_, err = stmt.ExecContext(ctx) // ends the copy and reports a bad row
	return err
}
