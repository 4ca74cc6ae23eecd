// Package plandb keeps the planned joints of a site in SQL, as the files they
// were loaded from.
//
// Each load is a revision, kept for good; the newest one is the plan, with those
// before it that it is laid over. The file
// is kept byte for byte, so that what was planned, with the rows that could not
// be read, can be shown as it came.
package plandb

import (
	"context"
	"fmt"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory/measure"
	"ovenward/migrations/db"
)

// Revision is one load of a plan.
type Revision struct {
	Number int64           `db:"revision"` // from 1, without a gap
	Loaded measure.Instant `db:"loaded_us"`
	By     string          `db:"by_who"`
	Name   string          `db:"name"` // of the file
	File   []byte          `db:"body"`
	Joints int64           `db:"joints"` // of the plan, at least 1
	Unread int64           `db:"unread"` // rows that could not be read
	Adds   int64           `db:"adds"`   // 1: it is laid over the revision before it
}

const columns = `revision, loaded_us, by_who, name, body, joints, unread, adds`

// Append stores a load as the next revision of a site and returns it with its
// number. The site's head must be locked, so that two loads at once do not take
// one number.
func Append(ctx context.Context, tx *sqlx.Tx, site string, r Revision) (Revision, error) {
	err := tx.GetContext(ctx, &r.Number, `SELECT COALESCE(max(revision), 0) + 1 FROM plan WHERE site = $1`, site)
	if err != nil {
		return Revision{}, fmt.Errorf("next revision of the plan of site %q: %w", site, err)
	}
	_, err = tx.ExecContext(ctx, `
		INSERT INTO plan (site, revision, loaded_us, by_who, name, body, joints, unread, adds)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)`,
		site, r.Number, r.Loaded, r.By, r.Name, r.File, r.Joints, r.Unread, r.Adds)
	if err != nil {
		return Revision{}, fmt.Errorf("revision %d of the plan of site %q: %w", r.Number, site, err)
	}
	return r, nil
}

// Newest returns the plan of a site: its newest revision. The error wraps
// db.ErrNotFound before anything was loaded.
func Newest(ctx context.Context, tx *sqlx.Tx, site string) (Revision, error) {
	return get(ctx, tx, fmt.Sprintf("plan of site %q", site),
		`SELECT `+columns+` FROM plan WHERE site = $1 ORDER BY revision DESC LIMIT 1`, site)
}

// Find returns one revision. The error wraps db.ErrNotFound when there is none
// of that number.
func Find(ctx context.Context, tx *sqlx.Tx, site string, number int64) (Revision, error) {
	return get(ctx, tx, fmt.Sprintf("revision %d of the plan of site %q", number, site),
		`SELECT `+columns+` FROM plan WHERE site = $1 AND revision = $2`, site, number)
}

func get(ctx context.Context, tx *sqlx.Tx, what, query string, args ...any) (Revision, error) {
	var r Revision
	if err := tx.GetContext(ctx, &r, query, args...); err != nil {
		return Revision{}, fmt.Errorf("%s: %w", what, db.NotFound(err))
	}
	return r, nil
}
