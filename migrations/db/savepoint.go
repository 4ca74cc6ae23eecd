package db

import (
	"context"
	"errors"

	"github.com/jmoiron/sqlx"
)

// Attempt runs fn inside of a transaction and takes back what fn wrote where it
// fails, so that the transaction can go on. Attempts are not put into one
// another.
func Attempt(ctx context.Context, tx *sqlx.Tx, fn func(tx *sqlx.Tx) error) error {
	if _, err := tx.ExecContext(ctx, `SAVEPOINT attempt`); err != nil {
		return err
	}
	err := fn(tx)
	if err != nil {
		_, back := tx.ExecContext(ctx, `ROLLBACK TO SAVEPOINT attempt`)
		err = errors.Join(err, back)
	}
	_, done := tx.ExecContext(ctx, `RELEASE SAVEPOINT attempt`)
	return errors.Join(err, done)
}
