package app

import (
	"context"
	"fmt"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory/ledger"
	"ovenward/inventory/ledgerdb"
	"ovenward/migrations/db"
)

// Drilled is what a restored backup came to.
type Drilled struct {
	Verified
	Live    ledger.Head // of the database in use
	Problem string      // empty: the backup is good
}

// Head returns how far the site's ledger goes.
func (a *App) Head(ctx context.Context) (h ledger.Head, err error) {
	err = a.DB.Read(ctx, func(tx *sqlx.Tx) error {
		h, err = ledgerdb.Head(ctx, tx, a.Site)
		return err
	})
	return h, err
}

// Drill verifies the site's ledger in a restored backup, with everything that
// follows from it, and compares it with the live one at that number of facts. A
// broken chain is a *ledger.BrokenError.
func (a *App) Drill(ctx context.Context, restored *db.DB) (out Drilled, err error) {
	copied := *a
	copied.DB = restored
	if out.Verified, err = copied.Verify(ctx); err != nil {
		return out, err
	}
	if out.Live, err = a.Head(ctx); err != nil {
		return out, err
	}
	same, err := a.hasHead(ctx, out.Head)
	switch {
	case err != nil:
		return out, err
	case out.Head.Seq > out.Live.Seq:
		out.Problem = fmt.Sprintf("the backup has %d facts, the ledger in use only %d: facts are missing there", out.Head.Seq, out.Live.Seq)
	case out.Head.Seq == 0 && out.Live.Seq > 0:
		out.Problem = fmt.Sprintf("the backup has no fact of site %s", a.Site)
	case !same:
		out.Problem = fmt.Sprintf("fact %d of the backup is not that of the ledger in use: one of them was rewritten", out.Head.Seq)
	case len(out.Differences) > 0:
		out.Problem = "what is stored in the backup does not follow from its facts: " + out.Differences[0]
	}
	return out, nil
}

// hasHead reports whether the live ledger ended so when it had as many facts.
func (a *App) hasHead(ctx context.Context, h ledger.Head) (same bool, err error) {
	if h.Seq == 0 {
		return true, nil
	}
	err = a.DB.Read(ctx, func(tx *sqlx.Tx) error {
		page, err := ledgerdb.Page(ctx, tx, a.Site, h.Seq-1, 1)
		same = err == nil && len(page) == 1 && page[0].Head() == h
		return err
	})
	return same, err
}
