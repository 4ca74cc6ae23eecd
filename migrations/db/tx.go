package db

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"time"

	"github.com/cenkalti/backoff/v5"
	"github.com/jmoiron/sqlx"
)

// pool is a bounded set of connections and the way transactions begin on it.
type pool struct {
	db            *sqlx.DB
	tx            sql.TxOptions
	before, after string // statements around each transaction; may be empty
}

// Read runs fn in a transaction that cannot write and sees one state of the
// database throughout. fn may run more than once, must not keep tx, and must
// not call Read or Write. The error is fn's own, or an *Error.
func (d *DB) Read(ctx context.Context, fn func(tx *sqlx.Tx) error) error {
	err := d.repeat(ctx, d.read, fn)
	if e, ok := errors.AsType[*Error](err); ok && errors.Is(e.Kind, ErrReadOnly) {
		e.Next = "a command that only reads tried to write: this is a fault of the program, please report it"
	}
	return err
}

// Write runs fn in a transaction and commits it; when Write returns nil the
// data is on the disk. If another writer is in the way fn runs again from the
// start, so it must have no effect outside tx. It must not keep tx, and must
// not call Read or Write. The error is fn's own, in which case nothing was
// written, or an *Error; one that wraps ErrOutcomeUnknown came too late to
// know.
//
// SQLite begins with the write lock. PostgreSQL runs at READ COMMITTED: every
// writer of a site first locks the site's head row, so writers of one site run
// one after the other and each sees all that the one before it wrote, while
// different sites do not wait. SERIALIZABLE would add aborts and no safety.
func (d *DB) Write(ctx context.Context, fn func(tx *sqlx.Tx) error) error {
	return d.repeat(ctx, d.write, d.fencedFirst(ctx, fn))
}

// Waits between attempts. SQLite's own wait backs off to 100 ms and starves one
// of two writers. Measured with two writers at full speed for 1.4 s, six runs
// each, the longest wait was 330 to 530 ms with SQLite's wait; with these it was
// 26 to 83 ms, and 61 to 239 ms when they could grow to 4 ms.
const (
	firstWait   = 600 * time.Microsecond
	waitJitter  = 2.0 / 3 // 0.2 to 1 ms at first
	waitGrowth  = 1.2
	longestWait = time.Millisecond
	// connectWait is the pause before asking a server again that is full or
	// still starting.
	connectWait = 50 * time.Millisecond
)

func newWaits() *backoff.ExponentialBackOff {
	return &backoff.ExponentialBackOff{
		InitialInterval: firstWait, RandomizationFactor: waitJitter,
		Multiplier: waitGrowth, MaxInterval: longestWait,
	}
}

// repeat runs fn in a transaction until it succeeds, fails for a reason that
// repeating cannot mend, or the patience is used up.
func (d *DB) repeat(ctx context.Context, p pool, fn func(tx *sqlx.Tx) error) error {
	return d.explain(ctx, d.retry(ctx, func() error { return p.once(ctx, d.patience, fn) }))
}

func (d *DB) retry(ctx context.Context, attempt func() error) error {
	var last error
	_, err := backoff.Retry(ctx, func() (struct{}, error) {
		last = attempt()
		return struct{}{}, asRetry(last)
	}, backoff.WithBackOff(newWaits()), backoff.WithMaxElapsedTime(d.patience))
	if err == nil {
		return nil
	}
	return last
}

// asRetry tells backoff what to do about an attempt's error.
func asRetry(err error) error {
	if err == nil {
		return nil
	}
	switch repeatable(err) {
	case atOnce:
		return err
	case afterPause:
		return &backoff.RetryAfterError{Duration: connectWait}
	case never:
	}
	return backoff.Permanent(err)
}

// once runs fn in one transaction. Waiting for a connection is bounded apart
// from ctx, since ctx lives on in the transaction.
func (p pool) once(ctx context.Context, wait time.Duration, fn func(tx *sqlx.Tx) error) error {
	conn, err := p.acquire(ctx, wait)
	if err != nil {
		return err
	}
	defer conn.Close()
	if p.before != "" {
		if _, err := conn.ExecContext(ctx, p.before); err != nil {
			return err
		}
		defer conn.ExecContext(context.WithoutCancel(ctx), p.after)
	}
	tx, err := conn.BeginTxx(ctx, &p.tx)
	if err != nil {
		return err
	}
	defer tx.Rollback() // after Commit it does nothing; after a cancel its error says nothing new
	if err := fn(tx); err != nil {
		return err
	}
	if err := tx.Commit(); err != nil {
		return commitFailed(err)
	}
	return nil
}

func (p pool) acquire(ctx context.Context, wait time.Duration) (*sqlx.Conn, error) {
	bounded, cancel := context.WithTimeoutCause(ctx, wait, errPool)
	defer cancel()
	conn, err := p.db.Connx(bounded)
	if err != nil && ctx.Err() == nil && errors.Is(err, context.DeadlineExceeded) {
		return nil, errPool
	}
	return conn, err
}

// commitFailed marks a commit whose answer got lost.
func commitFailed(err error) error {
	if errors.Is(kindOf(err), ErrUnreachable) {
		return fmt.Errorf("commit: %w: %w", ErrOutcomeUnknown, err)
	}
	return fmt.Errorf("commit: %w", err)
}
