package db

import (
	"errors"

	"github.com/lib/pq"
	"github.com/lib/pq/pqerror"
	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

// CheckFailed reports whether err says that a table's own check turned a row
// down: less than no rods in a bundle, a stay that ends before it begins. On
// PostgreSQL the transaction can only be rolled back then.
func CheckFailed(err error) bool {
	if e, ok := errors.AsType[*sqlite.Error](err); ok {
		return e.Code() == sqlite3.SQLITE_CONSTRAINT_CHECK
	}
	e, ok := errors.AsType[*pq.Error](err)
	return ok && e.Code == pqerror.CheckViolation
}
