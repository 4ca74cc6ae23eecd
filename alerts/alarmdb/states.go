package alarmdb

import (
	"context"
	"fmt"

	"github.com/jmoiron/sqlx"

	"ovenward/alerts/alarm"
	"ovenward/inventory/measure"
)

// Status is the state of a tag with who brought it about, when and why.
type Status struct {
	Kind    alarm.Kind      `db:"kind"`
	Subject string          `db:"subject"`
	State   alarm.State     `db:"state"`
	Active  bool            `db:"active"`
	Changed measure.Instant `db:"changed_us"` // while it calls, since when it does
	By      string          `db:"by_whom"`
	Why     string          `db:"why"`
	Until   measure.Instant `db:"shelved_until_us"` // zero but for what is shelved
	Once    bool            `db:"shelved_once"`
	At      alarm.Priority  `db:"shelved_at"` // the priority that it was shelved at
}

// Tag returns what the status is of.
func (s Status) Tag() alarm.Tag { return alarm.Tag{Kind: s.Kind, Subject: s.Subject} }

// Machine returns the machine in its state.
func (s Status) Machine() alarm.Machine { return alarm.Machine{State: s.State, Active: s.Active} }

// Shelf returns how the tag was shelved.
func (s Status) Shelf() alarm.Shelf {
	return alarm.Shelf{Until: s.Until, Once: s.Once, Priority: s.At}
}

// Transition is one step of a tag, as it is kept for ever.
type Transition struct {
	Seq     int64           `db:"seq"`
	Kind    alarm.Kind      `db:"kind"`
	Subject string          `db:"subject"`
	At      measure.Instant `db:"at_us"`
	Event   alarm.Event     `db:"event"`
	From    alarm.State     `db:"from_state"`
	To      alarm.State     `db:"to_state"`
	By      string          `db:"by_whom"`
	Why     string          `db:"why"`
	Since   measure.Instant `db:"since_us"` // of the alarm that it is about; zero where none is known
}

const statusColumns = `kind, subject, state, active, changed_us, by_whom, why, shelved_until_us, shelved_once, shelved_at`

// Step is an event that is to happen to a tag, with who did it, when and why.
// The shelf counts for alarm.Shelve alone.
type Step struct {
	Tag   alarm.Tag
	Since measure.Instant // of the alarm that it is about; zero: the tag as such
	Event alarm.Event
	At    measure.Instant
	By    string
	Why   string
	Shelf alarm.Shelf
}

// Advance lets an event happen to a tag and keeps the transition. The error is
// a *alarm.NotPossibleError, and nothing is written, where it cannot.
func Advance(ctx context.Context, tx *sqlx.Tx, site string, s Step) (Status, error) {
	if err := Hold(ctx, tx, site); err != nil {
		return Status{}, err
	}
	now, err := StatusOf(ctx, tx, site, s.Tag)
	if err != nil {
		return now, err
	}
	next, err := now.Machine().Next(s.Event)
	if err != nil {
		return now, err
	}
	shelf := now.Shelf()
	switch {
	case s.Event == alarm.Shelve:
		shelf = s.Shelf
	case next.State != alarm.OnShelf:
		shelf = alarm.Shelf{}
	}
	after := Status{Kind: s.Tag.Kind, Subject: s.Tag.Subject, State: next.State, Active: next.Active, Changed: s.At,
		By: s.By, Why: s.Why, Until: shelf.Until, Once: shelf.Once, At: shelf.Priority}
	if now.State.Calls() && next.State.Calls() {
		after.Changed = now.Changed // it has called since then: what flutters is escalated, too
	}
	if err := setStatus(ctx, tx, site, after); err != nil {
		return now, fmt.Errorf("state of %s of %s: %w", s.Tag.Kind, s.Tag.Subject, err)
	}
	return after, keep(ctx, tx, site, Transition{Kind: s.Tag.Kind, Subject: s.Tag.Subject, At: s.At, Event: s.Event,
		From: now.State, To: next.State, By: s.By, Why: s.Why, Since: s.Since})
}

// Hold keeps other writers of a site's alarms out until the transaction ends, so
// that what one of them read is still so when it writes.
func Hold(ctx context.Context, tx *sqlx.Tx, site string) error {
	_, err := tx.ExecContext(ctx, `INSERT INTO watched (site, at_us, seq) VALUES ($1, 0, 0)
		ON CONFLICT (site) DO UPDATE SET seq = watched.seq`, site)
	if err != nil {
		return fmt.Errorf("hold the alarms of site %s: %w", site, err)
	}
	return nil
}

func setStatus(ctx context.Context, tx *sqlx.Tx, site string, s Status) error {
	_, err := tx.ExecContext(ctx, `INSERT INTO alarm_state (site, `+statusColumns+`)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)
		ON CONFLICT (site, kind, subject) DO UPDATE SET state = excluded.state, active = excluded.active,
			changed_us = excluded.changed_us, by_whom = excluded.by_whom, why = excluded.why,
			shelved_until_us = excluded.shelved_until_us, shelved_once = excluded.shelved_once, shelved_at = excluded.shelved_at`,
		site, string(s.Kind), s.Subject, string(s.State), flag(s.Active), s.Changed, s.By, s.Why, s.Until, flag(s.Once), string(s.At))
	return err
}

func keep(ctx context.Context, tx *sqlx.Tx, site string, t Transition) error {
	_, err := tx.ExecContext(ctx, `INSERT INTO alarm_event (site, seq, kind, subject, at_us, event, from_state, to_state, by_whom, why, since_us)
		VALUES ($1, (SELECT coalesce(max(seq), 0) + 1 FROM alarm_event WHERE site = $1), $2, $3, $4, $5, $6, $7, $8, $9, $10)`,
		site, string(t.Kind), t.Subject, t.At, string(t.Event), string(t.From), string(t.To), t.By, t.Why, t.Since)
	if err != nil {
		return fmt.Errorf("history of %s of %s: %w", t.Kind, t.Subject, err)
	}
	return nil
}

func flag(b bool) int {
	if b {
		return 1
	}
	return 0
}

// StatusOf returns the state of a tag; normal for one that never had another.
func StatusOf(ctx context.Context, tx *sqlx.Tx, site string, t alarm.Tag) (Status, error) {
	list, err := statuses(ctx, tx, `WHERE site = $1 AND kind = $2 AND subject = $3`, site, string(t.Kind), t.Subject)
	if err != nil || len(list) == 0 {
		return Status{Kind: t.Kind, Subject: t.Subject, State: alarm.Normal}, err
	}
	return list[0], nil
}

// NotNormal returns the tags that are in any state but normal.
func NotNormal(ctx context.Context, tx *sqlx.Tx, site string) ([]Status, error) {
	return statuses(ctx, tx, `WHERE site = $1 AND state <> 'normal'`, site)
}

func statuses(ctx context.Context, tx *sqlx.Tx, where string, args ...any) ([]Status, error) {
	var list []Status
	err := tx.SelectContext(ctx, &list, `SELECT `+statusColumns+` FROM alarm_state
		`+where+` ORDER BY changed_us, kind, subject`, args...)
	if err != nil {
		return nil, fmt.Errorf("states of alarms: %w", err)
	}
	return list, nil
}

// History returns the transitions at an instant or later and before another, in
// the order in which they came about; a tag with an empty kind or subject is
// any.
func History(ctx context.Context, tx *sqlx.Tx, site string, t alarm.Tag, from, to measure.Instant) ([]Transition, error) {
	var list []Transition
	err := tx.SelectContext(ctx, &list, `SELECT seq, kind, subject, at_us, event, from_state, to_state, by_whom, why, since_us
		FROM alarm_event WHERE site = $1 AND at_us >= $2 AND at_us < $3
			AND ($4 = '' OR kind = $4) AND ($5 = '' OR subject = $5)
		ORDER BY seq`, site, from, to, string(t.Kind), t.Subject)
	if err != nil {
		return nil, fmt.Errorf("history of alarms: %w", err)
	}
	return list, nil
}

// One returns the alarm of a key; false if there is none.
func One(ctx context.Context, tx *sqlx.Tx, site string, k alarm.Key) (Alarm, bool, error) {
	list, err := alarms(ctx, tx, `WHERE site = $1 AND kind = $2 AND subject = $3 AND since_us = $4`,
		site, string(k.Kind), k.Subject, k.Since)
	if err != nil || len(list) == 0 {
		return Alarm{}, false, err
	}
	return list[0], true, nil
}

// Last returns the newest alarm of a tag; false if there never was one.
func Last(ctx context.Context, tx *sqlx.Tx, site string, t alarm.Tag) (Alarm, bool, error) {
	list, err := alarms(ctx, tx, `WHERE site = $1 AND kind = $2 AND subject = $3 AND since_us = (
		SELECT max(since_us) FROM alarm WHERE site = $1 AND kind = $2 AND subject = $3)`, site, string(t.Kind), t.Subject)
	if err != nil || len(list) == 0 {
		return Alarm{}, false, err
	}
	return list[0], true, nil
}
