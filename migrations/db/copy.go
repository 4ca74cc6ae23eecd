package db

import (
	"context"
	"errors"
	"os"
	"path/filepath"
)

// copySettings let a copy wait for a writer that holds the whole file.
const copySettings = "_pragma=busy_timeout(10000)"

// CopyTo writes everything in an SQLite database, as one commit left it, to a file
// that must not exist. Others read and write meanwhile. It goes through SQLite: a
// program that opens and closes the live file itself drops every lock it has on it.
func (d *DB) CopyTo(ctx context.Context, file string) (err error) {
	if d.file == "" {
		return errors.New(d.name + ": only an SQLite file is copied so")
	}
	p, err := sqlitePool(d.file, copySettings, 1)
	if err != nil {
		return d.explain(ctx, err)
	}
	defer func() { err = errors.Join(err, p.Close()) }()
	_, err = p.ExecContext(ctx, `VACUUM INTO $1`, file)
	return d.explain(ctx, err)
}

// IsFile reports whether a file is the one that the database is kept in. It only
// looks and does not open it.
func (d *DB) IsFile(file string) bool {
	if d.file == "" {
		return false
	}
	live, err := os.Stat(d.file)
	if err != nil {
		return false
	}
	other, err := os.Stat(file)
	return err == nil && os.SameFile(live, other)
}

// Folder is where an SQLite file lies, empty for other databases.
func (d *DB) Folder() string {
	if d.file == "" {
		return ""
	}
	return filepath.Dir(d.file)
}

// Base is the file's name without folder and ending, empty for other databases.
func (d *DB) Base() string {
	if d.file == "" {
		return ""
	}
	base := filepath.Base(d.file)
	return base[:len(base)-len(filepath.Ext(base))]
}
