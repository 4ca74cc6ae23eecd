package ledgerdb

import (
	"context"
	"errors"
	"fmt"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory/ledger"
	"ovenward/migrations/db"
)

const factColumns = `site, seq, id, kind, at_us, noted_us, by_who, via,
	body, supersedes, reason, prev, hash, encoding`

const (
	factByID      = `SELECT ` + factColumns + ` FROM fact WHERE site = $1 AND id = $2`
	factThatNamed = `SELECT ` + factColumns + ` FROM fact WHERE site = $1 AND supersedes = $2 AND supersedes <> ''`
	factsAfter    = `SELECT ` + factColumns + ` FROM fact WHERE site = $1 AND seq > $2 ORDER BY seq LIMIT $3`
	factsNewest   = `SELECT ` + factColumns + ` FROM fact WHERE site = $1 ORDER BY seq DESC LIMIT $2`
)

// ByID returns the fact with an id. The error wraps db.ErrNotFound if the site
// has none.
func ByID(ctx context.Context, tx *sqlx.Tx, site, id string) (ledger.Fact, error) {
	var f ledger.Fact
	if err := tx.GetContext(ctx, &f, factByID, site, id); err != nil {
		return ledger.Fact{}, fmt.Errorf("fact %s of site %q: %w", id, site, db.NotFound(err))
	}
	return f, nil
}

// SupersededBy returns the fact that supersedes the one with an id, and whether
// there is one.
func SupersededBy(ctx context.Context, tx *sqlx.Tx, site, id string) (ledger.Fact, bool, error) {
	var f ledger.Fact
	err := db.NotFound(tx.GetContext(ctx, &f, factThatNamed, site, id))
	switch {
	case errors.Is(err, db.ErrNotFound):
		return ledger.Fact{}, false, nil
	case err != nil:
		return ledger.Fact{}, false, fmt.Errorf("what supersedes fact %s of site %q: %w", id, site, err)
	}
	return f, true, nil
}

// Recent returns the newest n facts of a site, newest first.
func Recent(ctx context.Context, tx *sqlx.Tx, site string, n int) ([]ledger.Fact, error) {
	var fs []ledger.Fact
	if err := tx.SelectContext(ctx, &fs, factsNewest, site, n); err != nil {
		return nil, fmt.Errorf("newest facts of site %q: %w", site, err)
	}
	return fs, nil
}

// Page returns up to limit facts of a site behind number after, in order.
func Page(ctx context.Context, tx *sqlx.Tx, site string, after int64, limit int) ([]ledger.Fact, error) {
	var fs []ledger.Fact
	if err := tx.SelectContext(ctx, &fs, factsAfter, site, after, limit); err != nil {
		return nil, fmt.Errorf("facts of site %q after %d: %w", site, after, err)
	}
	return fs, nil
}

// pageSize is the number of facts that Each holds in memory at a time.
const pageSize = 500

// Each calls fn for each fact of a site behind number after, in order, until fn
// returns an error, which Each returns unchanged. No rows are open while fn
// runs, so fn may use tx.
func Each(ctx context.Context, tx *sqlx.Tx, site string, after int64, fn func(ledger.Fact) error) error {
	for {
		page, err := Page(ctx, tx, site, after, pageSize)
		if err != nil {
			return err
		}
		for _, f := range page {
			if err := fn(f); err != nil {
				return err
			}
			after = f.Seq
		}
		if len(page) < pageSize {
			return nil
		}
	}
}
