package db_test

import (
	"context"
	"errors"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/jmoiron/sqlx"

	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// withNumbers is a schema with one table for the tests of this package.
var withNumbers = db.WithMigrations(schema("CREATE TABLE number (id BIGINT NOT NULL PRIMARY KEY, n BIGINT)"))

func TestTwoWritersLoseNoUpdate(t *testing.T) {
	t.Parallel()
	const each = 200
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		insert(t, open(), 1, 0)
		var wg sync.WaitGroup
		for range 2 {
			d := open()
			wg.Go(func() {
				for range each {
					if err := d.Write(t.Context(), addOne); err != nil {
						t.Error(err)
					}
				}
			})
		}
		wg.Wait()
		if got := number(t, open(), 1); got != 2*each {
			t.Errorf("after %d additions of one: %d", 2*each, got)
		}
	}, withNumbers)
}

// Measured over twelve runs of this test: with the waits of this package one
// of two writers at full speed was kept out for 2 to 6 % of the time at a
// stretch, with SQLite's own busy_timeout for 20 to 38 %. A share of the time
// does not depend on the machine's speed, but on tests that run beside this
// one: it is not parallel.
func TestBusyWriterDoesNotStarveAnother(t *testing.T) {
	const writes, share = 4000, 0.18
	dsn := "sqlite:" + filepath.Join(t.TempDir(), "two.db")
	insert(t, dbtest.Open(t, dsn, withNumbers), 1, 0)
	var wg sync.WaitGroup
	var longest [2]time.Duration
	begun := time.Now()
	for w := range longest {
		d := dbtest.Open(t, dsn, withNumbers)
		wg.Go(func() {
			for range writes {
				start := time.Now()
				if err := d.Write(t.Context(), addOne); err != nil {
					t.Errorf("writer %d: %v", w, err)
				}
				longest[w] = max(longest[w], time.Since(start))
			}
		})
	}
	wg.Wait()
	whole := time.Since(begun)
	if l := max(longest[0], longest[1]); l.Seconds() > share*whole.Seconds() {
		t.Errorf("longest wait %v of %v, want at most a share of %v", l, whole, share)
	}
	t.Logf("longest waits %v in %v", longest, whole)
}

// addOne reads and writes in two statements, as every store does, after locking
// the row that all writers share.
func addOne(tx *sqlx.Tx) error {
	var n int64
	if _, err := tx.Exec(`UPDATE number SET n = n WHERE id = 1`); err != nil {
		return err
	}
	if err := tx.Get(&n, `SELECT n FROM number WHERE id = 1`); err != nil {
		return err
	}
	_, err := tx.Exec(`UPDATE number SET n = $1 WHERE id = 1`, n+1)
	return err
}

func TestWriteIsRefusedInRead(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		testWriteInRead(t, open())
	}, withNumbers)
	t.Run("memory", func(t *testing.T) {
		testWriteInRead(t, dbtest.Open(t, "sqlite::memory:", withNumbers))
	})
}

func testWriteInRead(t *testing.T, d *db.DB) {
	t.Helper()
	err := d.Read(t.Context(), insertOne(7))
	if !errors.Is(err, db.ErrReadOnly) {
		t.Errorf("insert inside Read: error %v, want %v", err, db.ErrReadOnly)
	}
	insert(t, d, 7, 70) // and Write still works on the same connections
	if got := number(t, d, 7); got != 70 {
		t.Errorf("after Write: %d, want 70", got)
	}
}

func TestFailedWriteLeavesNothing(t *testing.T) {
	t.Parallel()
	refused := errors.New("refused by a rule")
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		err := d.Write(t.Context(), func(tx *sqlx.Tx) error {
			if err := insertOne(1)(tx); err != nil {
				return err
			}
			return refused
		})
		if err != refused {
			t.Errorf("error %v, want fn's own error unchanged", err)
		}
		if got := count(t, d); got != 0 {
			t.Errorf("%d rows left by a refused write", got)
		}
	}, withNumbers)
}

func TestPanicInWriteLeavesNothingAndFreesTheConnection(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		func() {
			defer func() {
				if recover() == nil {
					t.Error("the panic was swallowed")
				}
			}()
			_ = d.Write(t.Context(), func(tx *sqlx.Tx) error {
				_ = insertOne(1)(tx)
				panic("a fault of the program")
			})
		}()
		insert(t, d, 2, 0) // SQLite has one write connection: it must be free again
		if got := count(t, d); got != 1 {
			t.Errorf("%d rows, want only the one written after the panic", got)
		}
	}, withNumbers)
}

func TestHeldLockGivesErrBusyAfterThePatience(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		holder, other := open(), open()
		insert(t, holder, 1, 0)
		err := holder.Write(t.Context(), func(tx *sqlx.Tx) error {
			if err := addOne(tx); err != nil {
				return err
			}
			start := time.Now()
			err := other.Write(t.Context(), addOne)
			if !errors.Is(err, db.ErrBusy) {
				t.Errorf("second writer: error %v, want %v", err, db.ErrBusy)
			}
			if waited := time.Since(start); waited < shortPatience/2 || waited > 10*shortPatience {
				t.Errorf("second writer gave up after %v, want about %v", waited, shortPatience)
			}
			return nil
		})
		if err != nil {
			t.Errorf("the holder's own write: %v", err)
		}
	}, withNumbers, db.WithPatience(shortPatience))
}

const shortPatience = 200 * time.Millisecond

func TestUsedUpConnectionsGiveErrBusy(t *testing.T) {
	t.Parallel()
	d := dbtest.SQLite(t, withNumbers, db.WithPatience(shortPatience))
	err := d.Write(t.Context(), func(*sqlx.Tx) error {
		return d.Write(t.Context(), insertOne(1)) // forbidden: waits for its own connection
	})
	if !errors.Is(err, db.ErrBusy) {
		t.Errorf("a Write in a Write: error %v, want %v and no endless wait", err, db.ErrBusy)
	}
}

// lib/pq reports a cancelled statement as 57014 without wrapping the context's
// error.
func TestCancelLooksLikeACancel(t *testing.T) {
	t.Parallel()
	const endless = `WITH RECURSIVE up (n) AS (SELECT 1 UNION ALL SELECT n % 1000 + 1 FROM up) SELECT count(*) FROM up`
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		ctx, cancel := context.WithTimeout(t.Context(), 100*time.Millisecond)
		defer cancel()
		start := time.Now()
		err := d.Read(ctx, func(tx *sqlx.Tx) error {
			var n int64
			return tx.GetContext(ctx, &n, endless)
		})
		if !errors.Is(err, context.DeadlineExceeded) {
			t.Errorf("error %v, want %v", err, context.DeadlineExceeded)
		}
		if took := time.Since(start); took > 5*time.Second {
			t.Errorf("cancel took %v", took)
		}
		insert(t, d, 1, 0) // the handle is still good
	}, withNumbers)
}

func TestCancelKeepsTheDatabaseInMemory(t *testing.T) {
	t.Parallel()
	d := dbtest.Open(t, "sqlite::memory:", withNumbers)
	insert(t, d, 1, 10)
	ctx, cancel := context.WithCancel(t.Context())
	err := d.Write(ctx, func(tx *sqlx.Tx) error {
		cancel()
		_, err := tx.ExecContext(ctx, `UPDATE number SET n = 11`)
		return err
	})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("error %v, want %v", err, context.Canceled)
	}
	if got := number(t, d, 1); got != 10 {
		t.Errorf("after the cancelled write: %d, want 10", got)
	}
}

// Read sees one state although others write between its statements.
func TestReadSeesOneState(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		reader, writer := open(), open()
		insert(t, writer, 1, 5)
		err := reader.Read(t.Context(), func(tx *sqlx.Tx) error {
			var before, after int64
			if err := tx.Get(&before, `SELECT n FROM number WHERE id = 1`); err != nil {
				return err
			}
			if err := writer.Write(t.Context(), addOne); err != nil {
				return err
			}
			err := tx.Get(&after, `SELECT n FROM number WHERE id = 1`)
			if before != 5 || after != 5 {
				t.Errorf("read %d, then %d, want 5 twice", before, after)
			}
			return err
		})
		if err != nil {
			t.Error(err)
		}
		if got := number(t, reader, 1); got != 6 {
			t.Errorf("the next read: %d, want 6", got)
		}
	}, withNumbers)
}
