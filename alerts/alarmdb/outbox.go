package alarmdb

import (
	"context"
	"fmt"

	"github.com/jmoiron/sqlx"

	"ovenward/alerts/alarm"
	"ovenward/inventory/measure"
)

// Told is how far a channel has told of what happened to alarms.
type Told struct {
	Channel  string          `db:"channel"`
	Seq      int64           `db:"seq"`      // of the last transition that was told or passed over
	Upto     int64           `db:"upto"`     // of the last one that is being told; zero: none is
	Attempts int64           `db:"attempts"` // that failed since
	Next     measure.Instant `db:"next_us"`  // before which it is not tried again
	Problem  string          `db:"problem"`  // why the last attempt failed
}

// longestWait is longer than any pause between two attempts.
const longestWait = measure.Hour

// Waits reports whether the channel is not to be tried yet. A time further away than
// any pause was set by a clock that was wrong.
func (t Told) Waits(at measure.Instant) bool { return t.Next > at && t.Next <= at.Add(longestWait) }

// ToldBy returns how far a channel is. One that is new begins at the end: it is
// told of nothing that happened before it was set up.
func ToldBy(ctx context.Context, tx *sqlx.Tx, site, channel string) (Told, error) {
	_, err := tx.ExecContext(ctx, `INSERT INTO alarm_channel (site, channel, seq, upto, attempts, next_us, problem)
		VALUES ($1, $2, (SELECT coalesce(max(seq), 0) FROM alarm_event WHERE site = $1), 0, 0, 0, '')
		ON CONFLICT (site, channel) DO NOTHING`, site, channel)
	if err != nil {
		return Told{}, fmt.Errorf("channel %s: %w", channel, err)
	}
	var t Told
	err = tx.GetContext(ctx, &t, `SELECT channel, seq, upto, attempts, next_us, problem FROM alarm_channel
		WHERE site = $1 AND channel = $2`, site, channel)
	if err != nil {
		return Told{}, fmt.Errorf("channel %s: %w", channel, err)
	}
	return t, nil
}

// SetTold keeps how far a channel is. It reports false, and keeps nothing, where
// another program has told further.
func SetTold(ctx context.Context, tx *sqlx.Tx, site string, t Told) (bool, error) {
	set, err := changed(tx.ExecContext(ctx, `UPDATE alarm_channel
		SET seq = $3, upto = $4, attempts = $5, next_us = $6, problem = $7
		WHERE site = $1 AND channel = $2 AND seq <= $3`,
		site, t.Channel, t.Seq, t.Upto, t.Attempts, t.Next, t.Problem))
	if err != nil {
		return false, fmt.Errorf("channel %s: %w", t.Channel, err)
	}
	return set, nil
}

// Since returns the transitions after a number, in order, at most so many.
func Since(ctx context.Context, tx *sqlx.Tx, site string, seq int64, most int) ([]Transition, error) {
	var list []Transition
	err := tx.SelectContext(ctx, &list, `SELECT seq, kind, subject, at_us, event, from_state, to_state, by_whom, why, since_us
		FROM alarm_event WHERE site = $1 AND seq > $2 ORDER BY seq LIMIT $3`, site, seq, most)
	if err != nil {
		return nil, fmt.Errorf("history of alarms: %w", err)
	}
	return list, nil
}

// Happened reports whether an event happened to a tag at an instant or later.
func Happened(ctx context.Context, tx *sqlx.Tx, site string, t alarm.Tag, e alarm.Event, from measure.Instant) (bool, error) {
	var n int
	err := tx.GetContext(ctx, &n, `SELECT count(*) FROM alarm_event
		WHERE site = $1 AND kind = $2 AND subject = $3 AND event = $4 AND at_us >= $5`,
		site, string(t.Kind), t.Subject, string(e), from)
	return n > 0, err
}

// Note keeps what happened to a tag that changes nothing of its state.
func Note(ctx context.Context, tx *sqlx.Tx, site string, s Step, state alarm.State) error {
	return keep(ctx, tx, site, Transition{Kind: s.Tag.Kind, Subject: s.Tag.Subject, At: s.At, Event: s.Event,
		From: state, To: state, By: s.By, Why: s.Why, Since: s.Since})
}
