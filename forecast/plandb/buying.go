package plandb

import (
	"context"
	"fmt"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory/measure"
	"ovenward/migrations/db"
)

// Buying is one load of what the buyer sets.
type Buying struct {
	Number int64           `db:"revision"` // from 1, without a gap
	Loaded measure.Instant `db:"loaded_us"`
	By     string          `db:"by_who"`
	Name   string          `db:"name"` // of the file
	File   []byte          `db:"body"`
}

// AppendBuying stores a load as the next revision of a site and returns it with
// its number. The site's head must be locked.
func AppendBuying(ctx context.Context, tx *sqlx.Tx, site string, b Buying) (Buying, error) {
	err := tx.GetContext(ctx, &b.Number, `SELECT COALESCE(max(revision), 0) + 1 FROM buying WHERE site = $1`, site)
	if err != nil {
		return Buying{}, fmt.Errorf("next revision of the buying policy of site %q: %w", site, err)
	}
	_, err = tx.ExecContext(ctx, `INSERT INTO buying (site, revision, loaded_us, by_who, name, body)
		VALUES ($1, $2, $3, $4, $5, $6)`, site, b.Number, b.Loaded, b.By, b.Name, b.File)
	if err != nil {
		return Buying{}, fmt.Errorf("revision %d of the buying policy of site %q: %w", b.Number, site, err)
	}
	return b, nil
}

// NewestBuying returns what the buyer of a site has set last. The error wraps
// db.ErrNotFound before anything was.
func NewestBuying(ctx context.Context, tx *sqlx.Tx, site string) (Buying, error) {
	var b Buying
	err := tx.GetContext(ctx, &b, `SELECT revision, loaded_us, by_who, name, body FROM buying
		WHERE site = $1 ORDER BY revision DESC LIMIT 1`, site)
	if err != nil {
		return Buying{}, fmt.Errorf("buying policy of site %q: %w", site, db.NotFound(err))
	}
	return b, nil
}
