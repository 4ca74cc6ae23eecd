package stockdb

import (
	"context"
	"fmt"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
)

// NextCode returns a short code of a kind that no bundle or slip of the site
// has: 'B' for bundles, 'S' for slips. Two writers of one site never ask at
// once, because they hold the lock of its ledger.
func NextCode(ctx context.Context, tx *sqlx.Tx, site string, kind byte) (string, error) {
	used, err := list[int64](ctx, tx, "codes", `SELECT n FROM counter WHERE site = $1 AND kind = $2`, site, string(kind))
	if err != nil {
		return "", err
	}
	n := int64(1)
	if len(used) > 0 {
		n += used[0]
	}
	return inventory.ShortCode(kind, n), nil
}

// Taken reports whether a bundle or a slip has the code.
func Taken(ctx context.Context, tx *sqlx.Tx, site, code string) (bool, error) {
	rows, err := list[int64](ctx, tx, "codes", `SELECT 1 FROM bundle WHERE site = $1 AND bundle = $2`, site, code)
	return len(rows) > 0, err
}

// used remembers the number of a short code that a fact gave out.
func (a *applier) used(code string) error {
	kind, n, ok := inventory.CodeNumber(code)
	if !ok {
		return nil
	}
	return a.exec(codeUsed, a.site, string(kind), n)
}

const codeUsed = `INSERT INTO counter (site, kind, n) VALUES ($1, $2, $3)
	ON CONFLICT (site, kind) DO UPDATE SET n = excluded.n WHERE counter.n < excluded.n`

// Used remembers that a number of a kind of short code was given out. A number
// is never given out twice, even where the fact that gave it was corrected: the
// label may be on the rods.
func Used(ctx context.Context, tx *sqlx.Tx, site string, kind byte, n int64) error {
	_, err := tx.ExecContext(ctx, codeUsed, site, string(kind), n)
	if err != nil {
		return fmt.Errorf("code %c%d: %w", kind, n, err)
	}
	return nil
}
