// Package backup copies the database to a folder while it is in use, forgets old
// copies, and tries whether a copy can be restored.
package backup

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"ovenward/migrations/db"
)

// Endings of the files.
const (
	sqliteEnding   = ".db"
	postgresEnding = ".dump"
)

// stamp is the time in a file's name, in UTC.
const stamp = "20060102T150405Z"

// Made is a backup.
type Made struct {
	File  string
	Bytes int64
}

// Make copies the database to a new file in a folder, which must exist. dsn is how
// the database was opened. The file has its name only once it is whole and on the
// disk. The error is a *ToolError where a program is missing.
func Make(ctx context.Context, d *db.DB, dsn, folder string, now time.Time) (m Made, err error) {
	name, ending, err := named(d, dsn)
	if err != nil {
		return m, err
	}
	m.File = filepath.Join(folder, name+"-"+now.UTC().Format(stamp)+ending)
	if _, err := os.Lstat(m.File); err == nil {
		return m, fmt.Errorf("%s: %w", m.File, os.ErrExist)
	}
	scratch, err := os.MkdirTemp(folder, ".unfinished-")
	if err != nil {
		return m, err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(scratch)) }()
	part := filepath.Join(scratch, "copy")
	if d.Engine() == db.SQLite {
		err = d.CopyTo(ctx, part)
	} else {
		err = dump(ctx, dsn, part)
	}
	if err != nil {
		return m, err
	}
	if m.Bytes, err = settle(part); err != nil {
		return m, err
	}
	if err := os.Rename(part, m.File); err != nil {
		return m, err
	}
	return m, flush(folder)
}

// named returns the beginning and the end of the names of a database's backups.
func named(d *db.DB, dsn string) (name, ending string, err error) {
	if d.Engine() == db.SQLite {
		if d.Base() == "" {
			return "", "", errors.New("a database in memory is not backed up")
		}
		return d.Base(), sqliteEnding, nil
	}
	c, err := client(dsn)
	return c.database(), postgresEnding, err
}

// settle brings a finished file to the disk, for its owner alone, and returns its
// size.
func settle(file string) (int64, error) {
	if err := os.Chmod(file, 0o600); err != nil {
		return 0, err
	}
	info, err := os.Stat(file)
	if err != nil {
		return 0, err
	}
	return info.Size(), flush(file)
}

// flush brings a file or the names in a folder to the disk.
func flush(name string) error {
	f, err := os.Open(name)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}
