package alarmdb

import (
	"context"
	"fmt"

	"github.com/jmoiron/sqlx"

	"ovenward/alerts/alarm"
	"ovenward/inventory/measure"
)

// keepChecks is how long checks are kept that a good one came after.
const keepChecks = 30 * measure.Day

type checkRow struct {
	Kind    alarm.Kind      `db:"kind"`
	Subject string          `db:"subject"`
	At      measure.Instant `db:"at_us"`
	Bad     bool            `db:"bad"`
	Passing bool            `db:"passing"`
	Next    measure.Instant `db:"next_us"`
	What    string          `db:"what"`
	Due     measure.Instant `db:"due_us"`
}

const checkColumns = `kind, subject, at_us, bad, passing, next_us, what, due_us`

// NoteCheck keeps what a job found. One that finds what the one before it found,
// and comes in time, only moves when the next is due. One that is older than
// what is known already is passed over.
func NoteCheck(ctx context.Context, tx *sqlx.Tx, site string, c alarm.Check) error {
	if err := Hold(ctx, tx, site); err != nil {
		return err
	}
	last, err := checks(ctx, tx, `WHERE site = $1 AND kind = $2 AND subject = $3 ORDER BY at_us DESC LIMIT 1`, site, string(c.Kind), c.Subject)
	if err != nil {
		return err
	}
	var seen measure.Instant
	err = tx.GetContext(ctx, &seen, `SELECT coalesce(max(seen_us), 0) FROM alarm_check WHERE site = $1 AND kind = $2 AND subject = $3`,
		site, string(c.Kind), c.Subject)
	if err != nil || (len(last) > 0 && seen >= c.At && !c.Passing) {
		return err
	}
	if len(last) > 0 && goesOn(last[0], c) {
		_, err = tx.ExecContext(ctx, `UPDATE alarm_check SET next_us = $5, seen_us = $6 WHERE site = $1 AND kind = $2 AND subject = $3 AND at_us = $4`,
			site, string(c.Kind), c.Subject, last[0].At, c.Next, c.At)
	} else {
		_, err = tx.ExecContext(ctx, `INSERT INTO alarm_check (site, `+checkColumns+`, seen_us) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $4)`,
			site, string(c.Kind), c.Subject, c.At, flag(c.Bad), flag(c.Passing), c.Next, c.What, c.Due)
	}
	if err == nil {
		_, err = tx.ExecContext(ctx, `DELETE FROM alarm_check WHERE site = $1 AND kind = $2 AND subject = $3 AND at_us < $4
			AND at_us < (SELECT max(at_us) FROM alarm_check WHERE site = $1 AND kind = $2 AND subject = $3 AND bad = 0)`,
			site, string(c.Kind), c.Subject, c.At.Add(-keepChecks))
	}
	if err != nil {
		return fmt.Errorf("check %s of %s: %w", c.Kind, c.Subject, err)
	}
	return nil
}

// goesOn reports whether a check says nothing new against the one before it.
func goesOn(last, c alarm.Check) bool {
	return last.Bad == c.Bad && !last.Passing && !c.Passing && (last.Next == 0 || c.At <= last.Next)
}

// Checks returns what jobs found, oldest first.
func Checks(ctx context.Context, tx *sqlx.Tx, site string) ([]alarm.Check, error) {
	return checks(ctx, tx, `WHERE site = $1 ORDER BY at_us, kind, subject`, site)
}

func checks(ctx context.Context, tx *sqlx.Tx, where string, args ...any) ([]alarm.Check, error) {
	var rows []checkRow
	if err := tx.SelectContext(ctx, &rows, `SELECT `+checkColumns+` FROM alarm_check `+where, args...); err != nil {
		return nil, fmt.Errorf("checks: %w", err)
	}
	list := make([]alarm.Check, len(rows))
	for i, r := range rows {
		list[i] = alarm.Check(r)
	}
	return list, nil
}
