package ovendb

import (
	"context"

	"github.com/jmoiron/sqlx"

	"ovenward/migrations/db"
)

// OthersWrote returns a number that is another one each time that somebody else,
// in this program or in others, has written to a SQLite file, where one writer
// keeps all others waiting. On PostgreSQL, where storing readings keeps nobody
// waiting, it is always 0.
func OthersWrote(ctx context.Context, tx *sqlx.Tx) (n int64, err error) {
	if db.EngineOf(tx) != db.SQLite {
		return 0, nil
	}
	err = tx.GetContext(ctx, &n, `PRAGMA data_version`)
	return n, err
}
