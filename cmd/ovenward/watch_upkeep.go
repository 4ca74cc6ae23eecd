package main

import (
	"context"
	"errors"
	"fmt"
	"runtime/debug"
	"time"

	"ovenward/alerts/alarm"
	"ovenward/alerts/alarmdb"
	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/backup"
	"ovenward/cmd/internal/config"
	"ovenward/cmd/internal/disk"
	"ovenward/cmd/internal/schedule"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
)

// upkeepHelp says in the help of watch what it does for the database by night.
const upkeepHelp = `

With [upkeep] it verifies the ledger every night and backs the database up; a copy
of an SQLite file is restored at once and compared. What fails, or is not done
within 2 hours of its time, is an alarm; ovenward ledger status says when it was
last done. Where an SQLite file and the backups lie, less than 10 % of free space
is an alarm, and less than 2 % another.

   [upkeep]
   verify = "02:00"             # on the site's clock
   backup = "02:30"
   backup_folder = "/mnt/backup"
   keep_daily = 7               # days and weeks of which one is kept; 0 and 0: all
   keep_weekly = 5`

const (
	upkeepLane  = "upkeep"
	diskLane    = "disk"
	upkeepRetry = 30 * measure.Minute
	// upkeepGrace is how long after its time upkeep is late.
	upkeepGrace = 2 * measure.Hour
)

// keeper does the upkeep of the database.
type keeper struct {
	app      *app.App
	dsn      string
	settings config.Upkeep
	low      map[string]bool // what was last noted of free space
}

func newKeeper(a *app.App, dsn string, s config.Upkeep) *keeper {
	return &keeper{app: a, dsn: dsn, settings: s, low: map[string]bool{}}
}

// jobs are what is done and when.
func (k *keeper) jobs() []schedule.Job {
	jobs := []schedule.Job{{Name: "disk", Lane: diskLane, Run: schedule.Plain(k.look)}}
	if at := k.settings.Verify; at != nil {
		jobs = append(jobs, schedule.Job{Name: "verify", Lane: upkeepLane, Slot: schedule.DailyAt(k.app.Zone, *at), Retry: upkeepRetry, Run: k.verify})
	}
	if at := k.settings.Backup; at != nil {
		jobs = append(jobs, schedule.Job{Name: "backup", Lane: upkeepLane, Slot: schedule.DailyAt(k.app.Zone, *at), Retry: upkeepRetry, Run: k.backup})
	}
	return jobs
}

// next is when upkeep is to have been done again: a day of 25 hours is none late.
func next(due schedule.Due) measure.Instant { return due.Slot.Add(25*measure.Hour + upkeepGrace) }

// verify checks the chain, what follows from it and the closed days of readings.
func (k *keeper) verify(ctx context.Context, due schedule.Due) error {
	begun := k.app.Now()
	v, err := k.app.Verify(ctx)
	u := alarmdb.Upkeep{Task: alarmdb.Verify, Facts: v.Head.Seq, Hash: v.Head.Hash, Compared: v.Rows}
	if err == nil && len(v.Differences) > 0 {
		u.Problem = "what is stored does not follow from the facts: " + v.Differences[0]
	}
	if err == nil && u.Problem == "" {
		u.Problem, err = k.changedDays(ctx)
	}
	return k.note(ctx, u, begun, next(due), err)
}

// changedDays says what became of readings that were there when their day was
// closed. Those that came late are no fault.
func (k *keeper) changedDays(ctx context.Context) (string, error) {
	changed, _, err := k.app.CheckDays(ctx)
	for _, c := range changed {
		if c.Late() == 0 {
			return fmt.Sprintf("readings of sensor %s on %s are not those of when the day was closed", c.Sensor, c.Day), err
		}
	}
	return "", err
}

// backup makes a backup, forgets old ones and tries the new one.
func (k *keeper) backup(ctx context.Context, due schedule.Due) error {
	made, err := backUp(ctx, k.app, k.dsn, k.settings.Folder, next(due))
	if err != nil {
		return err
	}
	zone, err := k.app.Zone(ctx)
	if err != nil {
		return err
	}
	keep := backup.Keep{Daily: k.settings.Daily, Weekly: k.settings.Weekly}
	if _, err = keep.Prune(k.app.DB, k.dsn, k.settings.Folder, zone); err != nil {
		return err
	}
	if k.app.DB.Engine() != db.SQLite {
		return nil // a dump needs an empty database, which nobody but its owner makes
	}
	begun := k.app.Now()
	d, err := drill(ctx, k.app, made.File, "")
	u := alarmdb.Upkeep{Task: alarmdb.Drill, Facts: d.Head.Seq, Hash: d.Head.Hash, Compared: d.Rows, File: made.File, Problem: d.Problem}
	return k.note(ctx, u, begun, next(due), err)
}

func (k *keeper) note(ctx context.Context, u alarmdb.Upkeep, begun time.Time, next measure.Instant, failed error) error {
	return noteUpkeep(ctx, k.app, u, begun, next, failed)
}

// backUp makes a backup and notes it, or why there is none.
func backUp(ctx context.Context, a *app.App, dsn, folder string, next measure.Instant) (made backup.Made, err error) {
	head, err := a.Head(ctx)
	if err != nil {
		return made, err
	}
	begun := a.Now()
	made, err = backup.Make(ctx, a.DB, dsn, folder, a.Now())
	u := alarmdb.Upkeep{Task: alarmdb.Backup, Facts: head.Seq, Hash: head.Hash, File: made.File, Bytes: made.Bytes}
	return made, noteUpkeep(ctx, a, u, begun, next, err)
}

// noteUpkeep keeps what upkeep came to. What failed is returned as well, so that it
// is tried again; a program that was stopped says nothing of the database.
func noteUpkeep(ctx context.Context, a *app.App, u alarmdb.Upkeep, begun time.Time, next measure.Instant, failed error) error {
	if ctx.Err() != nil {
		return errors.Join(failed, ctx.Err())
	}
	u.At, u.Program = measure.At(begun), version()
	u.Took = max(0, measure.At(a.Now()).Sub(u.At))
	if failed != nil {
		u.Problem = failed.Error()
	}
	return errors.Join(failed, a.NoteUpkeep(ctx, u, next))
}

// version is that of the program, empty where it was built without one.
func version() string {
	if info, ok := debug.ReadBuildInfo(); ok {
		return info.Main.Version
	}
	return ""
}

// look sees how much space is free.
func (k *keeper) look(ctx context.Context) (err error) {
	for _, at := range []struct{ what, folder string }{{"database", k.app.DB.Folder()}, {"backups", k.settings.Folder}} {
		if at.folder == "" {
			continue
		}
		share, failed := disk.Free(at.folder)
		if failed != nil {
			err = errors.Join(err, failed)
			continue
		}
		for _, c := range disk.Checks(at.what, at.folder, share, measure.At(k.app.Now())) {
			err = errors.Join(err, k.noteSpace(ctx, c))
		}
	}
	return err
}

// noteSpace notes what changed, so that an idle shop's watch writes nothing.
func (k *keeper) noteSpace(ctx context.Context, c alarm.Check) error {
	if bad, known := k.low[c.Subject]; known && bad == c.Bad {
		return nil
	}
	if err := k.app.NoteCheck(ctx, c); err != nil {
		return err
	}
	k.low[c.Subject] = c.Bad
	return nil
}
