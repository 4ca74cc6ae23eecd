package db

import (
	"context"
	"database/sql/driver"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"github.com/gofrs/flock"
)

// lockKey is the advisory lock of migrations: the letters "ovenward".
const lockKey int64 = 0x6f76656e77617264

// migrateWait is how long one program waits for another that is migrating.
const migrateWait = 60 * time.Second

// lock keeps other programs from migrating the same database until unlock is
// called. goose has no lock for SQLite, and without one two programs that start
// together on a new file both try to make its tables.
func (d *DB) lock(ctx context.Context) (unlock func(), err error) {
	switch {
	case d.engine == Postgres:
		return d.lockServer(ctx)
	case d.file != "":
		return d.lockFile(ctx)
	}
	return func() {}, nil // nobody else sees a database in memory
}

// lockServer takes an advisory lock on a connection of its own and gives it up
// by ending that connection's session.
func (d *DB) lockServer(ctx context.Context) (func(), error) {
	conn, err := d.write.db.Connx(ctx)
	if err != nil {
		return nil, err
	}
	unlock := func() {
		_ = conn.Raw(func(any) error { return driver.ErrBadConn }) // makes the pool drop it
		_ = conn.Close()
	}
	if _, err = conn.ExecContext(ctx, fmt.Sprintf("SET lock_timeout = %d", migrateWait.Milliseconds())); err == nil {
		_, err = conn.ExecContext(ctx, `SELECT pg_advisory_lock($1)`, lockKey)
	}
	if err != nil {
		unlock()
		return nil, fmt.Errorf("wait for another program's migration: %w", err)
	}
	return unlock, nil
}

// lockPoll is the time between two looks at the lock file.
const lockPoll = 2 * time.Millisecond

// lockFile locks a file beside the database and removes it afterwards.
func (d *DB) lockFile(ctx context.Context) (func(), error) {
	name := d.file
	if real, err := filepath.EvalSymlinks(name); err == nil {
		name = real // two names of one file share one lock
	}
	bounded, cancel := context.WithTimeout(ctx, migrateWait)
	defer cancel()
	for {
		l := flock.New(name + ".lock")
		if _, err := l.TryLockContext(bounded, lockPoll); err != nil {
			return nil, d.lockFailed(ctx, err)
		}
		if isCurrent(l) {
			return func() { release(l) }, nil
		}
		_ = l.Unlock()
	}
}

// isCurrent reports whether the locked file still is the one with that name.
// The holder before us removes it, so that we may hold a file that nobody else
// will ever look at.
func isCurrent(l *flock.Flock) bool {
	held, err := l.Stat()
	if err != nil {
		return false
	}
	named, err := os.Stat(l.Path())
	return err == nil && os.SameFile(held, named)
}

// release removes the lock file while it is still locked, then lets it go.
func release(l *flock.Flock) {
	_ = os.Remove(l.Path())
	_ = l.Unlock()
}

func (d *DB) lockFailed(ctx context.Context, err error) error {
	if ctx.Err() == nil && errors.Is(err, context.DeadlineExceeded) {
		return &Error{
			Kind: ErrBusy, Database: d.name, Err: fmt.Errorf("another program migrates it since %v", migrateWait),
			Next: "wait for it to end and try again",
		}
	}
	return err
}
