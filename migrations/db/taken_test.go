package db_test

import (
	"testing"

	"github.com/jmoiron/sqlx"

	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

func TestTakenKeyIsRecognised(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		insertN := func(n int64) error {
			return d.Write(t.Context(), func(tx *sqlx.Tx) error {
				_, err := tx.ExecContext(t.Context(), `INSERT INTO rods (n) VALUES ($1)`, n)
				return err
			})
		}
		if err := insertN(5); err != nil || db.KeyTaken(err) {
			t.Fatalf("KeyTaken(%v) = %v for the first row", err, db.KeyTaken(err))
		}
		if err := insertN(5); !db.KeyTaken(err) {
			t.Errorf("KeyTaken(%v) = false for a second row with the same key", err)
		}
		if err := insertN(-1); err == nil || db.KeyTaken(err) {
			t.Errorf("KeyTaken(%v) = true for fewer than no rods", err)
		}
	}, db.WithMigrations(schema("CREATE TABLE rods (n BIGINT NOT NULL PRIMARY KEY CHECK (n >= 0))")))
}
