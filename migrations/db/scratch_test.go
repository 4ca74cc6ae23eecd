package db_test

import (
	"testing"

	"github.com/jmoiron/sqlx"

	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// Two scratch databases have the schema of a file that was migrated step by step,
// and what is written to one is not in the other.
func TestScratchDatabasesHaveTheSchemaAndNothingInCommon(t *testing.T) {
	t.Parallel()
	a, b := scratch(t), scratch(t)
	want := tables(t, dbtest.SQLite(t))
	for name, d := range map[string]*db.DB{"first": a, "second": b} {
		if got := tables(t, d); got == 0 || got != want {
			t.Errorf("%s: %d tables and indexes, want %d", name, got, want)
		}
	}
	err := a.Write(t.Context(), func(tx *sqlx.Tx) error {
		_, err := tx.ExecContext(t.Context(), `CREATE TABLE note (n INTEGER)`)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if got := tables(t, b); got != want {
		t.Errorf("the second has %d tables and indexes after one was added to the first, want %d", got, want)
	}
}

func scratch(t *testing.T) *db.DB {
	t.Helper()
	d, err := db.Scratch(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := d.Close(); err != nil {
			t.Error(err)
		}
	})
	return d
}

func tables(t *testing.T, d *db.DB) (n int) {
	t.Helper()
	err := d.Read(t.Context(), func(tx *sqlx.Tx) error {
		return tx.GetContext(t.Context(), &n, `SELECT count(*) FROM sqlite_master`)
	})
	if err != nil {
		t.Fatal(err)
	}
	return n
}
