package db_test

import (
	"errors"
	"math"
	"slices"
	"testing"

	"github.com/jmoiron/sqlx"

	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// Other SQLite drivers bind $2 and $1 in the order in which they appear, which
// would swap values without an error.
func TestDollarTwoBeforeDollarOneBindsByNumber(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		var got struct{ Second, First, Again string }
		get(t, open(), &got, `SELECT CAST($2 AS TEXT) AS second, CAST($1 AS TEXT) AS first,
			CAST($2 AS TEXT) AS again`, "a", "b")
		if got.Second != "b" || got.First != "a" || got.Again != "b" {
			t.Errorf("SELECT $2, $1, $2 of a, b = %+v, want b a b", got)
		}
	}, withNumbers)
}

func TestMissingArgumentIsAnError(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		err := open().Read(t.Context(), func(tx *sqlx.Tx) error {
			var n int64
			return tx.GetContext(t.Context(), &n, `SELECT CAST($1 AS BIGINT) + CAST($2 AS BIGINT)`, 1)
		})
		if err == nil {
			t.Error("two parameters and one argument passed")
		}
	}, withNumbers)
}

func TestIntegersKeepAllBits(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		// 2^53+1 is the first whole number that a float cannot hold.
		for i, want := range []int64{math.MinInt64, -1, 0, 1<<53 + 1, math.MaxInt64} {
			insert(t, d, int64(i), want)
			if got := number(t, d, int64(i)); got != want {
				t.Errorf("stored %d, read %d", want, got)
			}
		}
	}, withNumbers)
}

// PostgreSQL sums BIGINT to NUMERIC, which the driver returns as text.
func TestSumIsCastBackToAnInteger(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		insert(t, d, 1, 1<<53)
		insert(t, d, 2, 1)
		var got any
		get(t, d, &got, `SELECT CAST(sum(n) AS BIGINT) FROM number`)
		if got != int64(1<<53+1) {
			t.Errorf("sum = %v (%T), want int64 %d", got, got, int64(1<<53+1))
		}
	}, withNumbers)
}

// PostgreSQL refuses a Go bool in an integer column and SQLite takes it, so a
// flag is 0 or 1 in Go as well.
func TestFlagIsANumberNotABool(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		err := d.Write(t.Context(), func(tx *sqlx.Tx) error {
			_, err := tx.ExecContext(t.Context(), `INSERT INTO number (id, n) VALUES ($1, $2)`, 1, true)
			return err
		})
		if refused := err != nil; refused != (d.Engine() == db.Postgres) {
			t.Errorf("%s: bool into an integer column: error %v", d.Engine(), err)
		}
		insert(t, d, 2, 1)
		if got := number(t, d, 2); got != 1 {
			t.Errorf("flag = %d, want 1", got)
		}
	}, withNumbers)
}

// Without NULLS FIRST or LAST the engines differ: SQLite puts NULL first,
// PostgreSQL last.
func TestNullOrderIsWritten(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		insert(t, d, 1, 20)
		insert(t, d, 3, 10)
		write(t, d, `INSERT INTO number (id, n) VALUES ($1, NULL)`, 2)
		for query, want := range map[string][]int64{
			`SELECT id FROM number ORDER BY n NULLS FIRST`:      {2, 3, 1},
			`SELECT id FROM number ORDER BY n NULLS LAST`:       {3, 1, 2},
			`SELECT id FROM number ORDER BY n DESC NULLS FIRST`: {2, 1, 3},
		} {
			var got []int64
			err := d.Read(t.Context(), func(tx *sqlx.Tx) error {
				return tx.SelectContext(t.Context(), &got, query)
			})
			if err != nil || !slices.Equal(got, want) {
				t.Errorf("%s = %v, %v, want %v", query, got, err, want)
			}
		}
	}, withNumbers)
}

func TestDuplicateKeyIsRecognised(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		insert(t, d, 1, 0)
		err := d.Write(t.Context(), insertOne(1))
		if !db.Duplicate(err) {
			t.Errorf("Duplicate(%v) = false", err)
		}
		err = d.Write(t.Context(), func(tx *sqlx.Tx) error {
			_, err := tx.ExecContext(t.Context(), `INSERT INTO number (id, n) VALUES (NULL, 1)`)
			return err
		})
		if err == nil || db.Duplicate(err) {
			t.Errorf("Duplicate(%v) = true for a missing key", err)
		}
	}, withNumbers)
}

func TestMissingRowIsNotFound(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		err := open().Read(t.Context(), func(tx *sqlx.Tx) error {
			var n int64
			return db.NotFound(tx.GetContext(t.Context(), &n, `SELECT n FROM number WHERE id = $1`, 1))
		})
		if !errors.Is(err, db.ErrNotFound) {
			t.Errorf("error %v, want %v", err, db.ErrNotFound)
		}
	}, withNumbers)
}

func TestTransactionKnowsItsEngine(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		err := d.Read(t.Context(), func(tx *sqlx.Tx) error {
			if got := db.EngineOf(tx); got != d.Engine() {
				t.Errorf("EngineOf(tx) = %q, want %q", got, d.Engine())
			}
			return nil
		})
		if err != nil {
			t.Error(err)
		}
	}, withNumbers)
}

// A commit must be on the disk, not only in the file system's cache.
func TestSettingsMakeCommitsDurable(t *testing.T) {
	t.Parallel()
	d := dbtest.SQLite(t, withNumbers)
	err := d.Write(t.Context(), func(tx *sqlx.Tx) error {
		for pragma, want := range map[string]string{
			"journal_mode": "wal", "synchronous": "2", "foreign_keys": "1", "busy_timeout": "0",
		} {
			var got string
			if err := tx.GetContext(t.Context(), &got, "PRAGMA "+pragma); err != nil {
				return err
			}
			if got != want {
				t.Errorf("%s = %s, want %s", pragma, got, want)
			}
		}
		return nil
	})
	if err != nil {
		t.Error(err)
	}
}

func TestFailedCheckIsRecognised(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		insertN := func(n int64) error {
			return d.Write(t.Context(), func(tx *sqlx.Tx) error {
				_, err := tx.ExecContext(t.Context(), `INSERT INTO rods (n) VALUES ($1)`, n)
				return err
			})
		}
		if err := insertN(-1); !db.CheckFailed(err) {
			t.Errorf("CheckFailed(%v) = false for fewer than no rods", err)
		}
		if err := insertN(5); err != nil {
			t.Fatal(err)
		}
		if err := insertN(5); err == nil || db.CheckFailed(err) {
			t.Errorf("CheckFailed(%v) = true for a second row with the same key", err)
		}
	}, db.WithMigrations(schema("CREATE TABLE rods (n BIGINT NOT NULL PRIMARY KEY CHECK (n >= 0))")))
}
