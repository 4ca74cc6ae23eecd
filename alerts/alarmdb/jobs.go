package alarmdb

import (
	"context"
	"fmt"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory/measure"
)

// StaleAfter is how long after its start a run that never ended is taken for
// one whose program was killed: then another may run the slot again.
const StaleAfter = 10 * measure.Minute

// keepRuns is how long runs that ended are kept.
const keepRuns = 2 * measure.Day

// Claim takes a slot of a job for the caller to run. It reports false if the
// slot, or a later one, was run, if another program is at it, or if it failed
// less than so long after it was begun. A later slot that is still to come was run
// by a clock that was wrong, and takes nothing from those before it.
func Claim(ctx context.Context, tx *sqlx.Tx, site, job string, slot, now measure.Instant, retry measure.Duration) (bool, error) {
	claimed, err := changed(tx.ExecContext(ctx, `INSERT INTO job_run (site, job, slot_us, started_us, result)
		SELECT $1, $2, $3, $4, ''
		WHERE NOT EXISTS (SELECT 1 FROM job_run
			WHERE site = $1 AND job = $2 AND slot_us > $3 AND slot_us <= $4 AND finished_us IS NOT NULL)
		ON CONFLICT (site, job, slot_us) DO UPDATE SET started_us = excluded.started_us, result = ''
		WHERE job_run.finished_us IS NULL AND ((job_run.result <> '' AND job_run.started_us <= $6) OR (job_run.result = '' AND job_run.started_us < $5))`,
		site, job, slot, now, now.Add(-StaleAfter), now.Add(-retry)))
	if err != nil {
		return false, fmt.Errorf("job %s, slot %s: %w", job, slot, err)
	}
	return claimed, nil
}

// Renew notes that a run still goes on, so that nobody takes it for one whose
// program was killed.
func Renew(ctx context.Context, tx *sqlx.Tx, site, job string, slot, now measure.Instant) error {
	_, err := tx.ExecContext(ctx, `UPDATE job_run SET started_us = $4
		WHERE site = $1 AND job = $2 AND slot_us = $3 AND finished_us IS NULL AND result = ''`, site, job, slot, now)
	if err != nil {
		return fmt.Errorf("job %s, slot %s: %w", job, slot, err)
	}
	return nil
}

// LastRun returns the newest slot of a job that was run, zero if none was.
func LastRun(ctx context.Context, tx *sqlx.Tx, site, job string) (measure.Instant, error) {
	var slot measure.Instant
	err := tx.GetContext(ctx, &slot, `SELECT coalesce(max(slot_us), 0) FROM job_run
		WHERE site = $1 AND job = $2 AND finished_us IS NOT NULL`, site, job)
	if err != nil {
		return 0, fmt.Errorf("last run of job %s: %w", job, err)
	}
	return slot, nil
}

// Finish notes that a slot was run, and forgets runs of long ago.
func Finish(ctx context.Context, tx *sqlx.Tx, site, job string, slot, now measure.Instant) error {
	_, err := tx.ExecContext(ctx, `UPDATE job_run SET finished_us = $4 WHERE site = $1 AND job = $2 AND slot_us = $3`,
		site, job, slot, now)
	if err == nil {
		_, err = tx.ExecContext(ctx, `DELETE FROM job_run WHERE site = $1 AND job = $2 AND slot_us < $3`,
			site, job, slot.Add(-keepRuns))
	}
	if err != nil {
		return fmt.Errorf("job %s, slot %s: %w", job, slot, err)
	}
	return nil
}

// Fail notes why a slot could not be run. It may be claimed again at once.
func Fail(ctx context.Context, tx *sqlx.Tx, site, job string, slot measure.Instant, why string) error {
	_, err := tx.ExecContext(ctx, `UPDATE job_run SET result = $4
		WHERE site = $1 AND job = $2 AND slot_us = $3 AND finished_us IS NULL`, site, job, slot, why)
	if err != nil {
		return fmt.Errorf("job %s, slot %s: %w", job, slot, err)
	}
	return nil
}

// Run is one slot of a job as it went.
type Run struct {
	Slot     measure.Instant  `db:"slot_us"`
	Started  measure.Instant  `db:"started_us"`
	Finished *measure.Instant `db:"finished_us"` // nil: it runs, or it failed
	Result   string           `db:"result"`      // why it failed
}

// Runs returns the slots of a job that are remembered, oldest first.
func Runs(ctx context.Context, tx *sqlx.Tx, site, job string) ([]Run, error) {
	var list []Run
	err := tx.SelectContext(ctx, &list, `SELECT slot_us, started_us, finished_us, result FROM job_run
		WHERE site = $1 AND job = $2 ORDER BY slot_us`, site, job)
	if err != nil {
		return nil, fmt.Errorf("runs of job %s: %w", job, err)
	}
	return list, nil
}
