package backup

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"ovenward/migrations/db"
)

// ErrNoPlace means that a dump of PostgreSQL was to be restored nowhere.
var ErrNoPlace = errors.New("a dump of PostgreSQL needs an empty database to be restored into")

// Restored is a backup that was restored into a scratch place.
type Restored struct {
	DB     *db.DB
	folder string // of a copy; empty: none
}

// Close closes the scratch database, and removes it if it is a file. One on a
// server stays.
func (r Restored) Close() error {
	err := r.DB.Close()
	if r.folder != "" {
		err = errors.Join(err, os.RemoveAll(r.folder))
	}
	return err
}

// Restore restores a backup beside the live database: that of an SQLite file into
// a file of its own, a dump into the empty database that into names. The error
// wraps ErrNoPlace or is a *ToolError.
func Restore(ctx context.Context, live *db.DB, file, into string) (r Restored, err error) {
	if live.IsFile(file) {
		return r, fmt.Errorf("%s is the database itself, not a backup of it", file)
	}
	dumped, err := isDump(file)
	if err != nil {
		return r, err
	}
	if dumped {
		return restoreDump(ctx, file, into)
	}
	if r.folder, err = os.MkdirTemp("", "ovenward-drill-"); err != nil {
		return r, err
	}
	scratch := filepath.Join(r.folder, "restored.db")
	if err = duplicate(file, scratch); err == nil {
		r.DB, err = db.Open(ctx, "sqlite:"+scratch)
	}
	if err != nil {
		return r, errors.Join(fmt.Errorf("%s: %w", file, err), os.RemoveAll(r.folder))
	}
	return r, nil
}

func restoreDump(ctx context.Context, file, into string) (r Restored, err error) {
	if !strings.HasPrefix(into, "postgres") {
		return r, ErrNoPlace
	}
	if err := restore(ctx, into, file); err != nil {
		return r, err
	}
	r.DB, err = db.Open(ctx, into)
	return r, err
}

// isDump reports whether a file is an archive of pg_dump, by its first letters.
func isDump(file string) (dumped bool, err error) {
	f, err := os.Open(file)
	if err != nil {
		return false, err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	mark := make([]byte, len("PGDMP"))
	if _, err := io.ReadFull(f, mark); err != nil {
		return false, fmt.Errorf("%s is too short for a backup: %w", file, err)
	}
	return string(mark) == "PGDMP", nil
}

func duplicate(from, to string) (err error) {
	in, err := os.Open(from)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, in.Close()) }()
	out, err := os.OpenFile(to, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	_, err = io.Copy(out, in)
	return errors.Join(err, out.Close())
}
