package ovendb

import (
	"context"
	"fmt"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory/measure"
)

// Answer is what was answered to readings that were sent under a key.
type Answer struct {
	Key    string          `db:"key"`
	Digest string          `db:"digest"` // of what was sent
	Text   string          `db:"answer"`
	Noted  measure.Instant `db:"noted_us"`
}

// AnswerTo returns what was answered under a key; false where nothing was.
func AnswerTo(ctx context.Context, tx *sqlx.Tx, site, key string) (Answer, bool, error) {
	var list []Answer
	err := tx.SelectContext(ctx, &list, `SELECT key, digest, answer, noted_us FROM reading_push WHERE site = $1 AND key = $2`, site, key)
	if err != nil {
		return Answer{}, false, fmt.Errorf("readings sent under %q: %w", key, err)
	}
	if len(list) == 0 {
		return Answer{}, false, nil
	}
	return list[0], true, nil
}

// SetAnswer keeps what was answered under a key; false, and the first answer stays,
// where something was.
func SetAnswer(ctx context.Context, tx *sqlx.Tx, site string, a Answer) (bool, error) {
	res, err := tx.ExecContext(ctx, `INSERT INTO reading_push (site, key, digest, answer, noted_us) VALUES ($1, $2, $3, $4, $5)
		ON CONFLICT (site, key) DO NOTHING`, site, a.Key, a.Digest, a.Text, a.Noted)
	if err != nil {
		return false, fmt.Errorf("readings sent under %q: %w", a.Key, err)
	}
	n, err := res.RowsAffected()
	return n > 0, err
}
