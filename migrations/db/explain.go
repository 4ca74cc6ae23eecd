package db

import (
	"context"
	"database/sql/driver"
	"errors"
	"fmt"
	"io"
	"net"
	"os"
	"path/filepath"

	"github.com/lib/pq"
	"github.com/lib/pq/pqerror"
	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

// errPool is the cause of ErrBusy when this program's own transactions use up
// every connection.
var errPool = errors.New("every connection of this program is in use")

// explain gives a driver's error its kind and the next step. Errors that are
// no trouble of the database, such as a refusal by a rule, pass unchanged.
func (d *DB) explain(ctx context.Context, err error) error {
	if err == nil {
		return nil
	}
	// lib/pq reports a cancelled statement as the server's error 57014, which
	// does not wrap the context's error.
	if cause := ctx.Err(); cause != nil {
		if errors.Is(err, cause) {
			return err
		}
		return fmt.Errorf("%w: %w", cause, err)
	}
	kind := kindOf(err)
	if kind == nil || errors.Is(err, kind) {
		return err
	}
	if errors.Is(kind, ErrNoDatabase) && d.lacksRights() {
		kind = ErrReadOnly
	}
	return &Error{Kind: kind, Database: d.name, Next: d.next(kind), Err: err}
}

// lacksRights tells why SQLite was unable to open a file: for want of rights,
// if the file or at least its folder is there. It only looks, because opening
// and closing the live file would drop SQLite's locks on it.
func (d *DB) lacksRights() bool {
	if d.file == "" {
		return false
	}
	if info, err := os.Stat(d.file); err == nil {
		return info.Mode().IsRegular()
	}
	info, err := os.Stat(filepath.Dir(d.file))
	return err == nil && info.IsDir()
}

// kindOf returns the sentinel that err amounts to, or nil.
func kindOf(err error) error {
	if errors.Is(err, errPool) {
		return ErrBusy
	}
	if e, ok := errors.AsType[*sqlite.Error](err); ok {
		return sqliteKind(e.Code())
	}
	if e, ok := errors.AsType[*pq.Error](err); ok {
		return postgresKind(e.Code)
	}
	if errors.Is(err, os.ErrPermission) {
		return ErrReadOnly
	}
	if _, ok := errors.AsType[net.Error](err); ok {
		return ErrUnreachable
	}
	if errors.Is(err, driver.ErrBadConn) || errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		return ErrUnreachable
	}
	return nil
}

func sqliteKind(code int) error {
	switch code & 0xff { // the low byte is the primary code, the rest says where
	case sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED, sqlite3.SQLITE_PROTOCOL:
		return ErrBusy
	case sqlite3.SQLITE_READONLY, sqlite3.SQLITE_PERM:
		return ErrReadOnly
	case sqlite3.SQLITE_CANTOPEN:
		return ErrNoDatabase
	case sqlite3.SQLITE_FULL:
		return ErrFull
	case sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_CORRUPT:
		return ErrDamaged
	}
	return nil
}

func postgresKind(code pqerror.Code) error {
	switch code {
	case pqerror.TRSerializationFailure, pqerror.TRDeadlockDetected,
		pqerror.LockNotAvailable, pqerror.TooManyConnections:
		return ErrBusy
	case pqerror.ReadOnlySQLTransaction, pqerror.InsufficientPrivilege:
		return ErrReadOnly
	case pqerror.DiskFull:
		return ErrFull
	case pqerror.InvalidCatalogName:
		return ErrNoDatabase
	case pqerror.AdminShutdown, pqerror.CrashShutdown, pqerror.CannotConnectNow:
		return ErrUnreachable
	}
	switch code.Class() {
	case pqerror.ClassConnectionException:
		return ErrUnreachable
	case pqerror.ClassInvalidAuthorizationSpecification:
		return ErrLogin
	}
	return nil
}

// next returns what the user can do about a kind of failure.
func (d *DB) next(kind error) string {
	switch {
	case errors.Is(kind, ErrBusy):
		return fmt.Sprintf("others held it for %v: try again, and see whether an import or backup is running",
			d.patience)
	case errors.Is(kind, ErrUnreachable):
		return "check that the server runs and that host and port are right, then try again"
	case errors.Is(kind, ErrOutcomeUnknown):
		return "repeat the entry with the same id: it is stored once"
	case errors.Is(kind, ErrLogin):
		return "check the user and the password in the database name"
	case errors.Is(kind, ErrReadOnly):
		if d.engine == SQLite {
			return "the user running ovenward needs the right to write the file and its folder"
		}
		return "the database user needs the right to create and write tables"
	case errors.Is(kind, ErrNoDatabase):
		if d.engine == SQLite {
			return "make the folder first, and check that the name is not a folder's"
		}
		return "make it first with createdb"
	case errors.Is(kind, ErrFull):
		return "nothing was written: free space on the disk and try again"
	case errors.Is(kind, ErrDamaged):
		return "check the name; if it is right, restore the last backup"
	}
	return ""
}

// Duplicate reports whether err says that a row with the same unique key is
// already there. On PostgreSQL the transaction can only be rolled back then.
func Duplicate(err error) bool {
	if e, ok := errors.AsType[*sqlite.Error](err); ok {
		switch e.Code() {
		case sqlite3.SQLITE_CONSTRAINT_UNIQUE, sqlite3.SQLITE_CONSTRAINT_PRIMARYKEY,
			sqlite3.SQLITE_CONSTRAINT_ROWID:
			return true
		}
		return false
	}
	e, ok := errors.AsType[*pq.Error](err)
	return ok && e.Code == pqerror.UniqueViolation
}
