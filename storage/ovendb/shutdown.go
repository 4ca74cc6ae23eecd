package ovendb

import (
	"context"
	"fmt"
	"time"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/ledger"
	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
)

// Shutdown is a time in which a place was, or will be, switched off on purpose.
type Shutdown struct {
	evidence.Off
	Place string
	Why   string
	By    string
}

// Shutdowns returns when a place, or any of the site's for an empty name, is
// shut down between two instants, in order of time.
func Shutdowns(ctx context.Context, tx *sqlx.Tx, site, place string, from, to measure.Instant) ([]Shutdown, error) {
	var rows []struct {
		Place string          `db:"place"`
		From  measure.Instant `db:"from_us"`
		To    measure.Instant `db:"to_us"`
		Why   string          `db:"why"`
		By    string          `db:"by_who"`
	}
	err := tx.SelectContext(ctx, &rows, `SELECT place, from_us, to_us, why, by_who FROM shutdown
		WHERE site = $1 AND ($2 = '' OR place = $2) AND from_us < $4 AND to_us > $3
		ORDER BY from_us, place`, site, place, from, to)
	if err != nil {
		return nil, fmt.Errorf("shutdowns of %s: %w", place, err)
	}
	list := make([]Shutdown, len(rows))
	for i, r := range rows {
		list[i] = Shutdown{Off: evidence.Off{From: r.From, To: r.To}, Place: r.Place, Why: r.Why, By: r.By}
	}
	return list, nil
}

// shutDown adds a shutdown. Its times were completed with their offset when it
// was decided.
func shutDown(ctx context.Context, tx *sqlx.Tx, f ledger.Fact, e *inventory.ShutDown) error {
	from, err := measure.ParseInstant(e.From, time.UTC)
	if err != nil {
		return err
	}
	to, err := measure.ParseInstant(e.To, time.UTC)
	if err != nil {
		return err
	}
	_, err = tx.ExecContext(ctx, `INSERT INTO shutdown (site, place, from_us, to_us, why, by_who)
		VALUES ($1, $2, $3, $4, $5, $6)
		ON CONFLICT (site, place, from_us) DO UPDATE
		SET to_us = excluded.to_us, why = excluded.why, by_who = excluded.by_who`,
		f.Site, e.Place, from, to, e.Why, f.By)
	return err
}
