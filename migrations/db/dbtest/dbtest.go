// Package dbtest opens databases for tests, so that one test body runs on
// SQLite and on PostgreSQL.
package dbtest

import (
	"path/filepath"
	"testing"

	"ovenward/migrations/db"
)

// Each runs fn as the sub-tests sqlite and postgres. Every call of open gives
// another handle on the same database, which is new and empty, has the current
// schema and ends with the test. The sub-test postgres fails if no server is
// given by the environment variable named in ServerVariable.
func Each(t *testing.T, fn func(t *testing.T, open func() *db.DB), opts ...db.Option) {
	t.Helper()
	each(t, engines(), fn, opts...)
}

// Whole is Each for tests of the whole program, which do a day's work and more.
// Under the race detector, which makes the engine that is compiled into the test
// ten times as slow, they run on PostgreSQL alone: what is looked for there is how
// the program's own goroutines meet. The stores' own tests run on both there too.
func Whole(t *testing.T, fn func(t *testing.T, open func() *db.DB), opts ...db.Option) {
	t.Helper()
	each(t, wholeEngines(), fn, opts...)
}

func each(t *testing.T, on []engine, fn func(t *testing.T, open func() *db.DB), opts ...db.Option) {
	t.Helper()
	for _, e := range on {
		t.Run(e.name, func(t *testing.T) {
			dsn := e.create(t, opts)
			fn(t, func() *db.DB { return Open(t, dsn, opts...) })
		})
	}
}

// Any opens a new database of the engine that is faster, for long tests that do
// not depend on it.
func Any(t testing.TB, opts ...db.Option) *db.DB {
	t.Helper()
	return Open(t, wholeEngines()[0].create(t, opts), opts...)
}

// EachB is Each for benchmarks.
func EachB(b *testing.B, fn func(b *testing.B, open func() *db.DB), opts ...db.Option) {
	b.Helper()
	for _, e := range engines() {
		b.Run(e.name, func(b *testing.B) {
			dsn := e.create(b, opts)
			fn(b, func() *db.DB { return Open(b, dsn, opts...) })
		})
	}
}

// SQLite opens a new SQLite file, for tests that do not depend on the engine.
func SQLite(t testing.TB, opts ...db.Option) *db.DB {
	t.Helper()
	return Open(t, engines()[0].create(t, opts), opts...)
}

// Open opens the database that dsn names and closes it when the test ends.
func Open(t testing.TB, dsn string, opts ...db.Option) *db.DB {
	t.Helper()
	d, err := db.Open(t.Context(), dsn, opts...)
	if err != nil {
		t.Fatalf("open a test database: %v", err)
	}
	t.Cleanup(func() {
		if err := d.Close(); err != nil {
			t.Errorf("close %s: %v", d, err)
		}
	})
	return d
}

// engine makes a new database and returns its name for db.Open: one with the
// current schema, or an empty one.
type engine struct {
	name            string
	prepared, empty func(testing.TB) string
}

func engines() []engine { return []engine{{"sqlite", newFile, noFile}, onServer()} }

func onServer() engine { return engine{"postgres", Prepared, Server} }

// create makes a database for a test that opens it with opts, which may bring a
// schema of their own.
func (e engine) create(t testing.TB, opts []db.Option) string {
	t.Helper()
	if len(opts) > 0 {
		return e.empty(t)
	}
	return e.prepared(t)
}

// noFile names a SQLite file that is not there yet.
func noFile(t testing.TB) string {
	t.Helper()
	return "sqlite:" + filepath.Join(t.TempDir(), "test.db")
}
