package alarmdb

import (
	"context"
	"fmt"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory/measure"
)

// Task is one kind of upkeep of the database.
type Task string

// The tasks.
const (
	Verify Task = "verify" // of the ledger: the chain, what follows from it, the days of readings
	Backup Task = "backup"
	Drill  Task = "drill" // a backup was restored and verified
)

// Tasks returns every kind of upkeep, in the order in which one rests on another.
func Tasks() []Task { return []Task{Verify, Backup, Drill} }

// Command is what a person types to do it by hand.
func (t Task) Command() string {
	switch t {
	case Verify:
		return "ledger verify"
	case Backup:
		return "backup"
	case Drill:
		return "backup drill"
	}
	return ""
}

// Upkeep is what one run of a task came to.
type Upkeep struct {
	Task     Task             `db:"kind"`
	At       measure.Instant  `db:"at_us"` // when it began
	Took     measure.Duration `db:"took_us"`
	Program  string           `db:"program"` // the version that did it
	Facts    int64            `db:"facts"`
	Hash     string           `db:"hash"` // of the last fact
	Readings int64            `db:"readings"`
	Compared int64            `db:"compared"` // rows that were built anew and compared
	File     string           `db:"file"`
	Bytes    int64            `db:"bytes"`
	AsOf     measure.Instant  `db:"asof_us"` // what a drill restored was the state of
	Problem  string           `db:"problem"` // empty: all was well
}

const upkeepColumns = `kind, at_us, took_us, program, facts, hash, readings, compared, file, bytes, asof_us, problem`

// keepUpkeep is how long what upkeep came to is kept: as long as an auditor looks
// back from one year to the one before it.
const keepUpkeep = 800 * measure.Day

// Keep stores what upkeep came to, and forgets that of long ago.
func Keep(ctx context.Context, tx *sqlx.Tx, site string, u Upkeep) error {
	_, err := tx.ExecContext(ctx, `INSERT INTO upkeep (site, `+upkeepColumns+`)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13)
		ON CONFLICT (site, kind, at_us) DO UPDATE SET took_us = excluded.took_us, program = excluded.program,
			facts = excluded.facts, hash = excluded.hash, readings = excluded.readings, compared = excluded.compared,
			file = excluded.file, bytes = excluded.bytes, asof_us = excluded.asof_us, problem = excluded.problem`,
		site, string(u.Task), u.At, u.Took, u.Program, u.Facts, u.Hash, u.Readings, u.Compared, u.File, u.Bytes, u.AsOf, u.Problem)
	if err == nil {
		_, err = tx.ExecContext(ctx, `DELETE FROM upkeep WHERE site = $1 AND kind = $2 AND at_us < $3`,
			site, string(u.Task), u.At.Add(-keepUpkeep))
	}
	if err != nil {
		return fmt.Errorf("what %s came to: %w", u.Task, err)
	}
	return nil
}

// Kept returns the newest run of a task and the newest that found nothing wrong;
// each is zero where there is none.
func Kept(ctx context.Context, tx *sqlx.Tx, site string, t Task) (last, good Upkeep, err error) {
	for where, into := range map[string]*Upkeep{``: &last, ` AND problem = ''`: &good} {
		var list []Upkeep
		err := tx.SelectContext(ctx, &list, `SELECT `+upkeepColumns+` FROM upkeep
			WHERE site = $1 AND kind = $2`+where+` ORDER BY at_us DESC LIMIT 1`, site, string(t))
		if err != nil {
			return last, good, fmt.Errorf("what %s came to: %w", t, err)
		}
		if len(list) > 0 {
			*into = list[0]
		}
	}
	return last, good, nil
}
