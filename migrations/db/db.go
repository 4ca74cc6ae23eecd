// Package db opens the SQLite file or the PostgreSQL database that everything
// is kept in, brings its schema up to date and runs transactions on it.
package db

import (
	"context"
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"time"

	"github.com/jmoiron/sqlx"

	"ovenward/migrations"
)

// Engine names the database software behind a DB. It is also the name of the
// database/sql driver and of the folder of migrations.
type Engine string

// The two engines.
const (
	SQLite   Engine = "sqlite"
	Postgres Engine = "postgres"
)

// EngineOf returns the engine that a transaction runs on, for the few
// statements whose text cannot be the same on both.
func EngineOf(tx *sqlx.Tx) Engine { return Engine(tx.DriverName()) }

// DB is one open database. It is safe for use by many goroutines.
type DB struct {
	engine   Engine
	name     string // as the user wrote it, without the password
	file     string // SQLite only; empty for a database in memory
	read     pool
	write    pool
	patience time.Duration
	warnings []string
	fence    func(ctx context.Context, tx *sqlx.Tx) error // before each write; nil: none
}

// Option changes how Open opens a database.
type Option func(*options)

type options struct {
	files    fs.FS
	patience time.Duration
	idle     time.Duration // of a transaction on a server; zero: as the server has it
}

// patience is how long a transaction is repeated while others hold the
// database. A person at the counter gives up at about this time.
const patience = 10 * time.Second

// WithMigrations takes the schema from fsys, which has folders sqlite and
// postgres, in place of the program's own.
func WithMigrations(fsys fs.FS) Option { return func(o *options) { o.files = fsys } }

// WithPatience sets how long a transaction waits for other writers before it
// fails with ErrBusy. Without it the wait is 10 s.
func WithPatience(d time.Duration) Option { return func(o *options) { o.patience = d } }

// Open opens the database that dsn names and brings its schema up to date:
//
//	sqlite:FILE       a file, made if it is missing
//	sqlite::memory:   a scratch database that ends with Close
//	postgres://...    a PostgreSQL database
//
// The error is an *Error that wraps ErrDSN, ErrNoDatabase, ErrUnreachable,
// ErrLogin, ErrBusy, ErrReadOnly, ErrFull, ErrDamaged, ErrOldSQLite,
// ErrNewerSchema or ErrOtherSchema.
func Open(ctx context.Context, dsn string, opts ...Option) (*DB, error) {
	o := options{files: migrations.Files, patience: patience}
	for _, opt := range opts {
		opt(&o)
	}
	d, err := connect(ctx, dsn, o)
	if err != nil {
		return nil, err
	}
	if err := d.migrate(ctx, o.files); err != nil {
		_ = d.Close() // the first error is the one to show
		return nil, d.explain(ctx, err)
	}
	return d, nil
}

func connect(ctx context.Context, dsn string, o options) (*DB, error) {
	scheme, rest, _ := strings.Cut(dsn, ":")
	switch scheme {
	case "sqlite":
		return openSQLite(ctx, rest, o)
	case "postgres", "postgresql":
		return openPostgres(dsn, o)
	}
	return nil, &Error{
		Kind: ErrDSN, Database: fmt.Sprintf("%q", scheme+":"),
		Next: "write sqlite:FILE, sqlite::memory: or postgres://USER@HOST/NAME",
	}
}

// Engine returns the software behind the database.
func (d *DB) Engine() Engine { return d.engine }

// String returns the database's name as it was given to Open, without a
// password.
func (d *DB) String() string { return d.name }

// Warnings returns what the user should be told about a database that works
// but is not safe, one sentence each; nil if there is nothing.
func (d *DB) Warnings() []string { return slices.Clone(d.warnings) }

// Close closes all connections. It waits for running statements.
func (d *DB) Close() error {
	err := d.write.db.Close()
	if d.read.db != d.write.db {
		if rerr := d.read.db.Close(); err == nil {
			err = rerr
		}
	}
	return err
}
