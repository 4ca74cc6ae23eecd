package jobdb_test

import (
	"testing"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/jobdb"
	"ovenward/inventory/ledger"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
)

// noon is 2025-06-05 12:00 UTC.
const noon measure.Instant = 1749124800 * 1_000_000

// hours is an instant counted from noon.
func hours(n int64) measure.Instant { return noon.Add(measure.Duration(n) * measure.Hour) }

// fact is an entry as the ledger gives it a number and an hour.
type fact struct {
	seq, hour int64
	entry     inventory.Entry
}

// apply applies facts in one transaction.
func apply(t *testing.T, d *db.DB, site string, facts ...fact) error {
	t.Helper()
	return d.Write(t.Context(), func(tx *sqlx.Tx) error {
		for _, f := range facts {
			head := ledger.Fact{Site: site, Seq: f.seq, At: hours(f.hour), By: "A1", Kind: f.entry.Kind()}
			if err := jobdb.Apply(t.Context(), tx, head, f.entry); err != nil {
				return err
			}
		}
		return nil
	})
}

// do applies facts that must be taken.
func do(t *testing.T, d *db.DB, site string, facts ...fact) {
	t.Helper()
	if err := apply(t, d, site, facts...); err != nil {
		t.Fatal(err)
	}
}

// read returns what a reader of the package gives.
func read[T any](t *testing.T, d *db.DB, fn func(tx *sqlx.Tx) (T, error)) (out T) {
	t.Helper()
	err := d.Read(t.Context(), func(tx *sqlx.Tx) (err error) {
		out, err = fn(tx)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func joints(t *testing.T, d *db.DB, site string, at measure.Instant) []jobdb.Stood[inventory.JointSet] {
	t.Helper()
	return read(t, d, func(tx *sqlx.Tx) ([]jobdb.Stood[inventory.JointSet], error) {
		return jobdb.Joints(t.Context(), tx, site, at)
	})
}
