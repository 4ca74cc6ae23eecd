package ledgerdb

import (
	"context"
	"errors"
	"fmt"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory/ledger"
	"ovenward/migrations/db"
)

// ErrDuplicate means that the site's ledger has a fact with this id already.
// Nothing was written and the transaction is still good: ByID gives the first
// one.
var ErrDuplicate = errors.New("a fact with this id is recorded already")

// SupersededError reports a fact that was to be superseded a second time.
type SupersededError struct {
	Site, ID string
	By       string // id of the fact that superseded it first
}

// Error names both facts and the one to correct instead.
func (e *SupersededError) Error() string {
	return fmt.Sprintf("fact %s of site %q was superseded by fact %s before; correct that one", e.ID, e.Site, e.By)
}

// Append records a draft behind h, which Lock returned in this transaction, or
// behind Fact.Head of the fact appended last. The error is a *ledger.FieldError,
// a *SupersededError, or wraps ErrDuplicate, ErrHeadMoved, or db.ErrNotFound if
// there is no fact that the draft could supersede.
func Append(ctx context.Context, tx *sqlx.Tx, h ledger.Head, d ledger.Draft) (ledger.Fact, error) {
	f, err := h.Next(d)
	if err != nil {
		return ledger.Fact{}, err
	}
	if _, err := insert(ctx, tx, h, f); err != nil {
		return ledger.Fact{}, err
	}
	return f, nil
}

// Insert records a fact as it was exported, if it is the one behind h. The
// errors are those of Append, and *ledger.BrokenError.
func Insert(ctx context.Context, tx *sqlx.Tx, h ledger.Head, f ledger.Fact) error {
	_, err := InsertAll(ctx, tx, h, []ledger.Fact{f})
	return err
}

// InsertAll records many facts as they were exported, moving the head once, and
// returns the new head. The errors are those of Insert; after one of them the
// transaction must be given up.
func InsertAll(ctx context.Context, tx *sqlx.Tx, h ledger.Head, facts []ledger.Fact) (ledger.Head, error) {
	end := h
	for _, f := range facts {
		if err := end.Check(f); err != nil {
			return h, err
		}
		if err := f.Draft().Check(); err != nil {
			return h, fmt.Errorf("fact %d of site %q: %w", f.Seq, f.Site, err)
		}
		end = f.Head()
	}
	return insert(ctx, tx, h, facts...)
}

func insert(ctx context.Context, tx *sqlx.Tx, h ledger.Head, facts ...ledger.Fact) (ledger.Head, error) {
	if len(facts) == 0 {
		return h, nil
	}
	put, err := tx.PreparexContext(ctx, insertFact)
	if err != nil {
		return h, fmt.Errorf("append to the ledger of site %q: %w", h.Site, err)
	}
	defer put.Close()
	for _, f := range facts {
		if err := insertOne(ctx, tx, put, f); err != nil {
			return h, fmt.Errorf("fact %d of site %q, id %s: %w", f.Seq, f.Site, f.ID, err)
		}
	}
	end := facts[len(facts)-1].Head()
	if err := advance(ctx, tx, h, end); err != nil {
		return h, fmt.Errorf("head of the ledger of site %q, to fact %d: %w", h.Site, end.Seq, err)
	}
	return end, nil
}

// insertFact inserts nothing for an id or a number that is there, rather than
// failing, since a failed statement would cost PostgreSQL's transaction.
const insertFact = `
	INSERT INTO fact (` + factColumns + `)
	SELECT $1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14
	WHERE NOT EXISTS (SELECT 1 FROM fact WHERE site = $1 AND id = $3)
		AND EXISTS (SELECT 1 FROM head WHERE site = $1 AND seq < $2)`

func insertOne(ctx context.Context, tx *sqlx.Tx, put *sqlx.Stmt, f ledger.Fact) error {
	if f.Supersedes != "" {
		if err := checkSuperseded(ctx, tx, f); err != nil {
			return err
		}
	}
	result, err := put.ExecContext(ctx, f.Site, f.Seq, f.ID, f.Kind, f.At, f.Noted, f.By, f.Via,
		f.Body, f.Supersedes, f.Reason, f.Prev, f.Hash, f.Encoding)
	if err != nil {
		return err
	}
	n, err := result.RowsAffected()
	if err == nil && n != 1 {
		err = whyNotInserted(ctx, tx, f)
	}
	return err
}

func whyNotInserted(ctx context.Context, tx *sqlx.Tx, f ledger.Fact) error {
	_, err := ByID(ctx, tx, f.Site, f.ID)
	switch {
	case err == nil:
		return ErrDuplicate
	case errors.Is(err, db.ErrNotFound):
		return ErrHeadMoved
	}
	return err
}

// checkSuperseded asks before the unique index does, to be able to say which
// fact stands in the way.
func checkSuperseded(ctx context.Context, tx *sqlx.Tx, f ledger.Fact) error {
	if _, err := ByID(ctx, tx, f.Site, f.Supersedes); err != nil {
		return fmt.Errorf("superseded %w", err)
	}
	first, found, err := SupersededBy(ctx, tx, f.Site, f.Supersedes)
	if found && first.ID != f.ID {
		err = &SupersededError{Site: f.Site, ID: f.Supersedes, By: first.ID}
	}
	return err
}
