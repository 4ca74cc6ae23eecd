package db

import (
	"database/sql"
	"errors"
	"strings"
)

// The kinds of failure, to be asked for with errors.Is.
var (
	// ErrDSN means that the database's name was not understood.
	ErrDSN = errors.New("database name is not understood")
	// ErrNoDatabase means that there is no such folder, file or database.
	ErrNoDatabase = errors.New("database does not exist")
	// ErrUnreachable means that the server does not answer. Trying again later
	// may help.
	ErrUnreachable = errors.New("database server cannot be reached")
	// ErrOutcomeUnknown means that the connection broke while a transaction was
	// being committed. Repeat the same entry with the same id: it is stored once.
	ErrOutcomeUnknown = errors.New("whether the entry was stored is not known")
	// ErrLogin means that the server refused the user or the password.
	ErrLogin = errors.New("database login refused")
	// ErrBusy means that others held the database for longer than the patience.
	// Trying again later may help.
	ErrBusy = errors.New("database is busy")
	// ErrReadOnly means that the file, its folder, the user or the transaction
	// has no right to write.
	ErrReadOnly = errors.New("database is read only")
	// ErrFull means that the disk is full. Nothing was written.
	ErrFull = errors.New("disk is full")
	// ErrDamaged means that the file is not a database or is damaged.
	ErrDamaged = errors.New("file is not a sound database")
	// ErrOldSQLite means that the program was built with an SQLite that can lose
	// committed entries.
	ErrOldSQLite = errors.New("SQLite is too old")
	// ErrNewerSchema means that a newer program has changed the database.
	ErrNewerSchema = errors.New("database is newer than this program")
	// ErrOtherSchema means that the tables were not made by this program or by
	// a build with other migration files.
	ErrOtherSchema = errors.New("database has other tables than this program makes")
	// ErrNotFound means that the row asked for does not exist.
	ErrNotFound = errors.New("not found")
)

// Error says which database could not be used, why, and what to do next. It
// wraps its kind and its cause.
type Error struct {
	Kind     error  // one of this package's sentinel errors
	Database string // its name without a password
	Next     string // the next step for the user
	Err      error  // the driver's error; may be nil
}

// Error returns one line: database, kind, cause and next step.
func (e *Error) Error() string {
	var b strings.Builder
	b.WriteString(e.Database + ": " + e.Kind.Error())
	if e.Err != nil {
		b.WriteString(": " + e.Err.Error())
	}
	if e.Next != "" {
		b.WriteString("; " + e.Next)
	}
	return b.String()
}

// Hint returns the next step for the user.
func (e *Error) Hint() string { return e.Next }

// Unwrap returns the kind and the cause.
func (e *Error) Unwrap() []error {
	if e.Err == nil {
		return []error{e.Kind}
	}
	return []error{e.Kind, e.Err}
}

// NotFound returns ErrNotFound for sql.ErrNoRows and every other error
// unchanged, so that stores need not show database/sql to their callers.
func NotFound(err error) error {
	if errors.Is(err, sql.ErrNoRows) {
		return ErrNotFound
	}
	return err
}
