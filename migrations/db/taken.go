package db

import (
	"errors"

	"github.com/lib/pq"
	"github.com/lib/pq/pqerror"
	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

// KeyTaken reports whether err says that another row has the key of one that was
// to be inserted. On PostgreSQL the transaction can only be rolled back then, or
// back to a savepoint.
func KeyTaken(err error) bool {
	if e, ok := errors.AsType[*sqlite.Error](err); ok {
		return e.Code() == sqlite3.SQLITE_CONSTRAINT_PRIMARYKEY || e.Code() == sqlite3.SQLITE_CONSTRAINT_UNIQUE
	}
	e, ok := errors.AsType[*pq.Error](err)
	return ok && e.Code == pqerror.UniqueViolation
}
