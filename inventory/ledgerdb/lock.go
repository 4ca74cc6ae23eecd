// Package ledgerdb keeps the ledger in SQL: one row a fact, and one row a site
// with the newest end of its chain.
package ledgerdb

import (
	"context"
	"errors"
	"fmt"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory/ledger"
	"ovenward/migrations/db"
)

const headColumns = `site, seq, hash, noted_us`

// Lock returns the head of a site's ledger, made if the site is new, and holds
// it until the transaction ends: writers of one site queue here, those of other
// sites pass. It must be the transaction's first statement, so that all read
// after it includes what the writer before has committed.
func Lock(ctx context.Context, tx *sqlx.Tx, site string) (ledger.Head, error) {
	var h ledger.Head
	err := tx.GetContext(ctx, &h, `
		INSERT INTO head (`+headColumns+`)
		VALUES ($1, 0, $2, 0)
		ON CONFLICT (site) DO UPDATE SET seq = head.seq
		RETURNING `+headColumns, site, ledger.Genesis)
	if err != nil {
		return ledger.Head{}, fmt.Errorf("lock the ledger of site %q: %w", site, err)
	}
	return h, nil
}

// Head returns the head of a site's ledger without a lock. It is that of an
// empty ledger if the site is not known.
func Head(ctx context.Context, tx *sqlx.Tx, site string) (ledger.Head, error) {
	var h ledger.Head
	err := tx.GetContext(ctx, &h, `SELECT `+headColumns+` FROM head WHERE site = $1`, site)
	switch err := db.NotFound(err); {
	case errors.Is(err, db.ErrNotFound):
		return ledger.Start(site), nil
	case err != nil:
		return ledger.Head{}, fmt.Errorf("head of the ledger of site %q: %w", site, err)
	}
	return h, nil
}

// Heads returns the heads of all sites in the order of their names.
func Heads(ctx context.Context, tx *sqlx.Tx) ([]ledger.Head, error) {
	var hs []ledger.Head
	err := tx.SelectContext(ctx, &hs, `SELECT `+headColumns+` FROM head ORDER BY site`)
	if err != nil {
		return nil, fmt.Errorf("heads of all ledgers: %w", err)
	}
	return hs, nil
}

// ErrHeadMoved means that facts were to go behind a head that is not the site's
// newest: it was read without Lock, or a fact went in since.
var ErrHeadMoved = errors.New("the ledger has moved on since its head was read")

// advance puts the head from one place to another.
func advance(ctx context.Context, tx *sqlx.Tx, from, to ledger.Head) error {
	result, err := tx.ExecContext(ctx, `
		UPDATE head
		SET seq = $2, hash = $3, noted_us = $4
		WHERE site = $1 AND seq = $5 AND hash = $6`,
		from.Site, to.Seq, to.Hash, to.Noted, from.Seq, from.Hash)
	if err != nil {
		return err
	}
	n, err := result.RowsAffected()
	if err == nil && n != 1 {
		err = ErrHeadMoved
	}
	return err
}
