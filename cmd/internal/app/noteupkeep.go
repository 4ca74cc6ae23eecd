package app

import (
	"cmp"
	"context"

	"github.com/jmoiron/sqlx"

	"ovenward/alerts/alarm"
	"ovenward/alerts/alarmdb"
	"ovenward/inventory/measure"
)

// NoteUpkeep keeps what a verification, a backup or a drill came to, and lets the
// alarm of its kind follow: next is when it is to be done again at the latest. Zero
// leaves that as it was.
func (a *App) NoteUpkeep(ctx context.Context, u alarmdb.Upkeep, next measure.Instant) error {
	c := checkOf(u)
	return a.DB.Write(ctx, func(tx *sqlx.Tx) (err error) {
		if c.Next = next; next == 0 {
			if c.Next, err = pending(ctx, tx, a.Site, c); err != nil {
				return err
			}
		}
		if err := alarmdb.NoteCheck(ctx, tx, a.Site, c); err != nil {
			return err
		}
		return alarmdb.Keep(ctx, tx, a.Site, u)
	})
}

// checkOf is what an alarm follows from.
func checkOf(u alarmdb.Upkeep) alarm.Check {
	c := alarm.Check{At: u.At.Add(u.Took), Bad: u.Problem != ""}
	switch u.Task {
	case alarmdb.Verify:
		c.Kind, c.Subject = alarm.LedgerUnverified, "ledger"
	case alarmdb.Drill:
		c.Kind, c.Subject = alarm.BackupFailed, "restore drill"
	default:
		c.Kind, c.Subject = alarm.BackupFailed, "backup"
	}
	c.What = c.Subject + ": " + cmp.Or(u.Problem, "all was well")
	return c
}

// pending is when a check is to come that others wait for.
func pending(ctx context.Context, tx *sqlx.Tx, site string, c alarm.Check) (next measure.Instant, err error) {
	list, err := alarmdb.Checks(ctx, tx, site)
	for _, one := range list { // oldest first
		if one.Kind == c.Kind && one.Subject == c.Subject {
			next = one.Next
		}
	}
	if next <= c.At {
		next = 0
	}
	return next, err
}
