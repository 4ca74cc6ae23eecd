package db

import (
	"context"
	"time"

	"github.com/jmoiron/sqlx"
)

// Fenced returns the same database to a program that may lose the right to write:
// check runs first in every transaction of Write, which its error ends with nothing
// written. It shares the connections of d and is not closed on its own.
func (d *DB) Fenced(check func(ctx context.Context, tx *sqlx.Tx) error) *DB {
	fenced := *d
	fenced.fence = check
	return &fenced
}

// fencedFirst puts the fence, if there is one, before a transaction.
func (d *DB) fencedFirst(ctx context.Context, fn func(tx *sqlx.Tx) error) func(tx *sqlx.Tx) error {
	if d.fence == nil {
		return fn
	}
	return func(tx *sqlx.Tx) error {
		if err := d.fence(ctx, tx); err != nil {
			return err
		}
		return fn(tx)
	}
}

// WithIdleLimit lets a PostgreSQL server end a transaction that does nothing for
// so long, so that a program that was frozen in the middle of one, or whose
// machine is gone, does not keep its locks. SQLite has no such thing: there the
// locks end with the process.
func WithIdleLimit(d time.Duration) Option { return func(o *options) { o.idle = d } }
