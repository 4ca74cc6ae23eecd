package db_test

import (
	"fmt"
	"testing"
	"testing/fstest"

	"github.com/jmoiron/sqlx"

	"ovenward/migrations/db"
)

// stepFiles holds migration files for both engines.
type stepFiles = fstest.MapFS

// schema returns migrations for both engines, one file for each statement.
func schema(statements ...string) stepFiles {
	files := stepFiles{}
	for i, s := range statements {
		name := fmt.Sprintf("%04d_step.sql", i+1)
		files["sqlite/"+name], files["postgres/"+name] = file(s+";"), file(s+";")
	}
	return files
}

func file(up string) *fstest.MapFile {
	return &fstest.MapFile{Data: []byte("-- +goose Up\n" + up + "\n")}
}

func insertOne(id int64) func(*sqlx.Tx) error {
	return func(tx *sqlx.Tx) error {
		_, err := tx.Exec(`INSERT INTO number (id, n) VALUES ($1, $2)`, id, 0)
		return err
	}
}

func insert(t testing.TB, d *db.DB, id, n int64) {
	t.Helper()
	write(t, d, `INSERT INTO number (id, n) VALUES ($1, $2)`, id, n)
}

func write(t testing.TB, d *db.DB, statement string, args ...any) {
	t.Helper()
	err := d.Write(t.Context(), func(tx *sqlx.Tx) error {
		_, err := tx.ExecContext(t.Context(), statement, args...)
		return err
	})
	if err != nil {
		t.Fatalf("%s: %v", statement, err)
	}
}

// get reads one row into dest, a pointer to a value or a struct.
func get(t testing.TB, d *db.DB, dest any, query string, args ...any) {
	t.Helper()
	err := d.Read(t.Context(), func(tx *sqlx.Tx) error {
		return tx.GetContext(t.Context(), dest, query, args...)
	})
	if err != nil {
		t.Fatalf("%s: %v", query, err)
	}
}

func number(t testing.TB, d *db.DB, id int64) (n int64) {
	t.Helper()
	get(t, d, &n, `SELECT n FROM number WHERE id = $1`, id)
	return n
}

func count(t testing.TB, d *db.DB) (n int64) {
	t.Helper()
	get(t, d, &n, `SELECT count(*) FROM number`)
	return n
}
