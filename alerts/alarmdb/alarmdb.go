// Package alarmdb keeps in SQL which conditions were raised, how far the watch
// has looked, and which slots of its jobs ran.
package alarmdb

import (
	"context"
	"fmt"

	"github.com/jmoiron/sqlx"

	"ovenward/alerts/alarm"
	"ovenward/inventory/measure"
)

// Alarm is a condition as it was raised.
type Alarm struct {
	Kind        alarm.Kind       `db:"kind"`
	Subject     string           `db:"subject"`
	Since       measure.Instant  `db:"since_us"`
	Raised      measure.Instant  `db:"raised_us"`
	Late        bool             `db:"late"`             // raised later than a watch that never stopped would have
	Cleared     *measure.Instant `db:"cleared_us"`       // when it ceased; nil while it stands
	Noted       *measure.Instant `db:"cleared_noted_us"` // when it was seen that it had ceased, where the fact was entered late; nil otherwise
	Priority    alarm.Priority   `db:"priority"`
	What        string           `db:"what"`
	Consequence string           `db:"consequence"`
	Action      string           `db:"action"`
	Due         measure.Instant  `db:"due_us"`     // until when acting helps; zero: no such time
	Afterwards  bool             `db:"afterwards"` // readings that came in after it was over showed it: it was never sent
}

// Tag returns what the alarm is one time of.
func (a Alarm) Tag() alarm.Tag { return alarm.Tag{Kind: a.Kind, Subject: a.Subject} }

// Key returns the key of the condition.
func (a Alarm) Key() alarm.Key { return alarm.Key{Kind: a.Kind, Subject: a.Subject, Since: a.Since} }

// Stands reports whether the alarm was not cleared.
func (a Alarm) Stands() bool { return a.Cleared == nil }

// Passing reports whether it was over as it began: an event is told and does not
// stand.
func (a Alarm) Passing() bool { return a.Cleared != nil && *a.Cleared == a.Since }

const alarmColumns = `kind, subject, since_us, raised_us, late, cleared_us, cleared_noted_us, priority, what, consequence, action, due_us, afterwards`

// Raise stores conditions at an instant and returns those that were not
// recorded before, in the order given. One that has ceased is stored as cleared.
func Raise(ctx context.Context, tx *sqlx.Tx, site string, at measure.Instant, list []alarm.Condition) ([]Alarm, error) {
	var raised []Alarm
	for _, c := range list {
		a := Alarm{Kind: c.Kind, Subject: c.Subject, Since: c.Since, Raised: at, Late: c.Late(at), Priority: c.Priority,
			What: c.What, Consequence: c.Consequence, Action: c.Action, Due: c.Due, Afterwards: c.Afterwards}
		if c.Until != 0 {
			a.Cleared = &c.Until
		}
		added, err := insert(ctx, tx, site, a)
		if err != nil {
			return nil, fmt.Errorf("raise %s of %s: %w", c.Kind, c.Subject, err)
		}
		if added {
			raised = append(raised, a)
		}
	}
	return raised, nil
}

func insert(ctx context.Context, tx *sqlx.Tx, site string, a Alarm) (bool, error) {
	return changed(tx.ExecContext(ctx, `INSERT INTO alarm (site, `+alarmColumns+`)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14)
		ON CONFLICT (site, kind, subject, since_us) DO NOTHING`,
		site, string(a.Kind), a.Subject, a.Since, a.Raised, flag(a.Late), a.Cleared, a.Noted, string(a.Priority),
		a.What, a.Consequence, a.Action, a.Due, flag(a.Afterwards)))
}

// Clear notes that an alarm ceased at an instant; noted is when that was seen, for
// a fact that was entered late, and nil otherwise. It reports false if the alarm
// did not stand.
func Clear(ctx context.Context, tx *sqlx.Tx, site string, k alarm.Key, at measure.Instant, noted *measure.Instant) (bool, error) {
	cleared, err := changed(tx.ExecContext(ctx, `UPDATE alarm SET cleared_us = $5, cleared_noted_us = $6
		WHERE site = $1 AND kind = $2 AND subject = $3 AND since_us = $4 AND cleared_us IS NULL`,
		site, string(k.Kind), k.Subject, k.Since, max(at, k.Since), noted))
	if err != nil {
		return false, fmt.Errorf("clear %s of %s: %w", k.Kind, k.Subject, err)
	}
	return cleared, nil
}

// Standing returns the alarms that were not cleared, oldest first.
func Standing(ctx context.Context, tx *sqlx.Tx, site string) ([]Alarm, error) {
	return alarms(ctx, tx, `WHERE site = $1 AND cleared_us IS NULL`, site)
}

// All returns every alarm that began at an instant or later, oldest first.
func All(ctx context.Context, tx *sqlx.Tx, site string, from measure.Instant) ([]Alarm, error) {
	return alarms(ctx, tx, `WHERE site = $1 AND since_us >= $2`, site, from)
}

// Each side of the OR names the site, so that each finds its own index.
const alarmsIn = `WHERE (site = $1 AND cleared_us IS NULL AND since_us < $3)
	OR (site = $1 AND cleared_us >= $2 AND since_us < $3)`

// In returns the alarms that stood at any time from one instant up to another,
// the latter left out, oldest first.
func In(ctx context.Context, tx *sqlx.Tx, site string, from, to measure.Instant) ([]Alarm, error) {
	return alarms(ctx, tx, alarmsIn, site, from, to)
}

func alarms(ctx context.Context, tx *sqlx.Tx, where string, args ...any) ([]Alarm, error) {
	var list []Alarm
	err := tx.SelectContext(ctx, &list, `SELECT `+alarmColumns+` FROM alarm
		`+where+` ORDER BY since_us, kind, subject`, args...)
	if err != nil {
		return nil, fmt.Errorf("alarms: %w", err)
	}
	return list, nil
}

// Recorded reports whether a condition was raised before.
func Recorded(ctx context.Context, tx *sqlx.Tx, site string, k alarm.Key) (bool, error) {
	var n int
	err := tx.GetContext(ctx, &n, `SELECT count(*) FROM alarm
		WHERE site = $1 AND kind = $2 AND subject = $3 AND since_us = $4`, site, string(k.Kind), k.Subject, k.Since)
	return n > 0, err
}

// Mark is how far a site's watch has looked: at every fact up to a number, as
// things stood at an instant.
type Mark struct {
	At  measure.Instant `db:"at_us"`
	Seq int64           `db:"seq"`
}

// Watched returns how far the watch has looked; zero if it never did.
func Watched(ctx context.Context, tx *sqlx.Tx, site string) (Mark, error) {
	var list []Mark
	if err := tx.SelectContext(ctx, &list, `SELECT at_us, seq FROM watched WHERE site = $1`, site); err != nil {
		return Mark{}, fmt.Errorf("how far the watch has looked: %w", err)
	}
	if len(list) == 0 {
		return Mark{}, nil
	}
	return list[0], nil
}

// SetWatched moves the mark forward. It never goes back, so that the slower of
// two programs takes nothing back.
func SetWatched(ctx context.Context, tx *sqlx.Tx, site string, m Mark) error {
	_, err := tx.ExecContext(ctx, `INSERT INTO watched (site, at_us, seq) VALUES ($1, $2, $3)
		ON CONFLICT (site) DO UPDATE SET at_us = excluded.at_us, seq = excluded.seq
		WHERE watched.at_us <= excluded.at_us AND watched.seq <= excluded.seq`, site, m.At, m.Seq)
	if err != nil {
		return fmt.Errorf("how far the watch has looked: %w", err)
	}
	return nil
}

// changed reports whether a statement changed a row.
func changed(res interface{ RowsAffected() (int64, error) }, err error) (bool, error) {
	if err != nil {
		return false, err
	}
	n, err := res.RowsAffected()
	return n > 0, err
}
