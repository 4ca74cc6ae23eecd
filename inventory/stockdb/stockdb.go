// Package stockdb keeps lots, bundles and slips in SQL: the projections of the
// ledger that say what a rod room has and who has it.
//
// Everything here can be dropped and rebuilt from the facts. Each fact is
// applied without a judgement: what may be recorded was decided before it
// entered the ledger.
package stockdb

import (
	"context"
	"fmt"

	"github.com/jmoiron/sqlx"

	"ovenward/migrations/db"
)

// get reads one row; a missing one is db.ErrNotFound with what was looked for.
func get[T any](ctx context.Context, tx *sqlx.Tx, what, query string, args ...any) (T, error) {
	var row T
	if err := tx.GetContext(ctx, &row, query, args...); err != nil {
		return row, fmt.Errorf("%s: %w", what, db.NotFound(err))
	}
	return row, nil
}

func list[T any](ctx context.Context, tx *sqlx.Tx, what, query string, args ...any) ([]T, error) {
	var rows []T
	if err := tx.SelectContext(ctx, &rows, query, args...); err != nil {
		return nil, fmt.Errorf("%s: %w", what, err)
	}
	return rows, nil
}

func bit(b bool) int64 {
	if b {
		return 1
	}
	return 0
}
