package alarmdb

import (
	"context"
	"fmt"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory/measure"
)

// List is what is told at a fixed time: what stands at the end of a shift, what
// QA or the buyer has to see to, a check that is due.
type List struct {
	Seq  int64           `db:"seq"`
	Name string          `db:"name"`
	Slot measure.Instant `db:"slot_us"` // the time that it is of
	Made measure.Instant `db:"made_us"`
	Head string          `db:"head"` // in one line
	Body string          `db:"body"`
}

// Owed is a list that a channel is to be told, with how that went so far.
type Owed struct {
	List
	Attempts int64           `db:"attempts"` // that failed
	Next     measure.Instant `db:"next_us"`  // before which it is not tried again
	Problem  string          `db:"problem"`
}

// keepLists is how long lists that have arrived everywhere are kept.
const keepLists = 90 * measure.Day

// Post stores a list that is owed to channels. It reports false, and stores
// nothing, if there is one of this name and slot. Lists of long ago that no
// channel waits for are forgotten.
func Post(ctx context.Context, tx *sqlx.Tx, site string, l List, channels []string) (bool, error) {
	posted, err := changed(tx.ExecContext(ctx, `INSERT INTO list (site, seq, name, slot_us, made_us, head, body)
		VALUES ($1, (SELECT coalesce(max(seq), 0) + 1 FROM list WHERE site = $1), $2, $3, $4, $5, $6)
		ON CONFLICT (site, name, slot_us) DO NOTHING`, site, l.Name, l.Slot, l.Made, l.Head, l.Body))
	for _, c := range channels {
		if err != nil || !posted {
			break
		}
		_, err = tx.ExecContext(ctx, `INSERT INTO list_owed (site, seq, channel, attempts, next_us, problem)
			SELECT site, seq, $4, 0, 0, '' FROM list WHERE site = $1 AND name = $2 AND slot_us = $3
			ON CONFLICT (site, seq, channel) DO NOTHING`, site, l.Name, l.Slot, c)
	}
	if err == nil && posted {
		_, err = tx.ExecContext(ctx, `DELETE FROM list WHERE site = $1 AND made_us < $2
			AND NOT EXISTS (SELECT 1 FROM list_owed o WHERE o.site = list.site AND o.seq = list.seq AND o.sent_us IS NULL)`,
			site, l.Made.Add(-keepLists))
	}
	if err != nil {
		return false, fmt.Errorf("list %s: %w", l.Name, err)
	}
	return posted, nil
}

// OwedTo returns the lists that a channel was not told yet, in order.
func OwedTo(ctx context.Context, tx *sqlx.Tx, site, channel string) ([]Owed, error) {
	var list []Owed
	err := tx.SelectContext(ctx, &list, `SELECT l.seq, l.name, l.slot_us, l.made_us, l.head, l.body, o.attempts, o.next_us, o.problem
		FROM list_owed o JOIN list l ON l.site = o.site AND l.seq = o.seq
		WHERE o.site = $1 AND o.channel = $2 AND o.sent_us IS NULL ORDER BY o.seq`, site, channel)
	if err != nil {
		return nil, fmt.Errorf("lists for channel %s: %w", channel, err)
	}
	return list, nil
}

// Arrived notes that a channel was told a list.
func Arrived(ctx context.Context, tx *sqlx.Tx, site string, seq int64, channel string, at measure.Instant) error {
	_, err := tx.ExecContext(ctx, `UPDATE list_owed SET sent_us = $4, problem = ''
		WHERE site = $1 AND seq = $2 AND channel = $3 AND sent_us IS NULL`, site, seq, channel, at)
	if err != nil {
		return fmt.Errorf("list for channel %s: %w", channel, err)
	}
	return nil
}

// NotArrived notes why a channel could not be told a list and when it is tried
// again.
func NotArrived(ctx context.Context, tx *sqlx.Tx, site, channel string, o Owed) error {
	_, err := tx.ExecContext(ctx, `UPDATE list_owed SET attempts = $4, next_us = $5, problem = $6
		WHERE site = $1 AND seq = $2 AND channel = $3 AND sent_us IS NULL`,
		site, o.Seq, channel, o.Attempts, o.Next, o.Problem)
	if err != nil {
		return fmt.Errorf("list for channel %s: %w", channel, err)
	}
	return nil
}
