package db

import (
	"context"
	"database/sql"
	"net/url"
	"path/filepath"
	"time"

	"github.com/jmoiron/sqlx"
	_ "modernc.org/sqlite" // the driver "sqlite"; the only one that binds $1 and $2 by number
)

// Settings of every connection. Waiting for locks is done in Go (see tx.go), so
// SQLite itself never waits. FULL makes each commit durable, not only whole.
const (
	writeSettings = "_txlock=immediate&_pragma=busy_timeout(0)&_pragma=journal_mode(WAL)" +
		"&_pragma=synchronous(FULL)&_pragma=foreign_keys(1)"
	readSettings = "_pragma=busy_timeout(0)&_pragma=query_only(1)&_pragma=foreign_keys(1)"
	// Migrations run under a lock of our own and through goose, which does not
	// repeat a file when a program that is still at work holds the database.
	migrateSettings = "_txlock=immediate&_pragma=busy_timeout(10000)&_pragma=journal_mode(WAL)" +
		"&_pragma=synchronous(FULL)&_pragma=foreign_keys(1)"

	// readers is the number of read connections. Each has a page cache of its own.
	readers = 4
)

// memory is the file name of a scratch database.
const memory = ":memory:"

func openSQLite(ctx context.Context, file string, o options) (*DB, error) {
	d := &DB{engine: SQLite, name: "sqlite:" + file, patience: o.patience}
	if file == "" {
		return nil, &Error{Kind: ErrDSN, Database: d.name, Next: "write the file after the colon: sqlite:FILE"}
	}
	var err error
	if file == memory {
		err = d.openMemory()
	} else {
		err = d.openFile(file)
	}
	if err == nil {
		err = d.checkSQLite(ctx)
	}
	if err != nil {
		return nil, d.explain(ctx, err)
	}
	return d, nil
}

func (d *DB) openFile(file string) error {
	d.file = file
	d.warnings = networkWarnings(file)
	w, err := sqlitePool(file, writeSettings, 1)
	if err != nil {
		return err
	}
	r, err := sqlitePool(file, readSettings, readers)
	if err != nil {
		return err
	}
	d.write = pool{db: w}
	d.read = pool{db: r, tx: sql.TxOptions{ReadOnly: true}}
	return nil
}

// openMemory opens one connection for reading and writing: the connection is
// the database.
func (d *DB) openMemory() error {
	w, err := sqlitePool(memory, writeSettings, 1)
	if err != nil {
		return err
	}
	d.write = pool{db: w}
	d.read = pool{
		db: w, tx: sql.TxOptions{ReadOnly: true},
		before: "PRAGMA query_only = 1", after: "PRAGMA query_only = 0",
	}
	return nil
}

func sqlitePool(file, settings string, size int) (*sqlx.DB, error) {
	std, err := sql.Open(string(SQLite), sqliteDSN(file, settings))
	if err != nil {
		return nil, err
	}
	std.SetMaxOpenConns(size)
	std.SetMaxIdleConns(size)
	std.SetConnMaxLifetime(0 * time.Second)
	return sqlx.NewDb(std, string(SQLite)), nil
}

// sqliteDSN writes the file as a URI, in which a question mark, a percent sign
// or a hash in the name would otherwise mean something.
func sqliteDSN(file, settings string) string {
	if file == memory {
		return "file::memory:?" + settings
	}
	path := filepath.ToSlash(file)
	if filepath.VolumeName(file) != "" {
		path = "/" + path
	}
	return "file:" + (&url.URL{Path: path}).EscapedPath() + "?" + settings
}

// checkSQLite refuses a library that can lose committed pages. It is also the
// first touch of the file, so it is repeated while others open or close it.
func (d *DB) checkSQLite(ctx context.Context) error {
	var version string
	err := d.retry(ctx, func() error {
		return d.read.db.GetContext(ctx, &version, `SELECT sqlite_version()`)
	})
	if err != nil {
		return err
	}
	return checkVersion(version)
}
