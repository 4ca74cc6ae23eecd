package main

import (
	"io"
	"log/slog"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"ovenward/alerts/alarm"
	"ovenward/alerts/alarmdb"
	"ovenward/cmd/internal/config"
	"ovenward/cmd/internal/schedule"
	"ovenward/inventory/measure"
	"ovenward/migrations/db/dbtest"
)

// TestUpkeepIsDoneByNightAndItsFailureIsAnAlarm: a good night raises nothing; a
// folder that is gone is an alarm that night, and a verification that did not come
// is one from 05:00 on: 25 hours of the longest day and 2 of grace after 02:00.
func TestUpkeepIsDoneByNightAndItsFailureIsAnAlarm(t *testing.T) {
	t.Parallel()
	for engine, dsn := range map[string]string{
		"sqlite": "sqlite:" + filepath.Join(t.TempDir(), "ovenward.db"), "postgres": dbtest.Prepared(t)} {
		t.Run(engine, func(t *testing.T) {
			t.Parallel()
			n := newNights(t, dsn)
			n.run("2026-03-02 02:30")
			n.alarms()
			n.done(alarmdb.Verify, alarmdb.Backup)
			if engine == "sqlite" {
				n.done(alarmdb.Drill)
			}
			if err := os.RemoveAll(n.folder); err != nil {
				t.Fatal(err)
			}
			n.run("2026-03-03 02:30")
			n.alarms("backup-failed")
			if err := os.Mkdir(n.folder, 0o700); err != nil {
				t.Fatal(err)
			}
			n.run("2026-03-03 03:00") // tried again
			n.alarms()
			n.now = n.at("2026-03-04 04:59")
			n.alarms()
			n.now = n.at("2026-03-04 05:00")
			n.alarms("ledger-unverified")
		})
	}
}

// nights is a site whose watch does its upkeep.
type nights struct {
	*testing.T
	keeper *keeper
	folder string
	now    time.Time
}

func newNights(t *testing.T, dsn string) *nights {
	n := &nights{T: t, folder: filepath.Join(t.TempDir(), "copies"), now: time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)}
	if err := os.Mkdir(n.folder, 0o700); err != nil {
		t.Fatal(err)
	}
	e := &env{in: strings.NewReader(""), out: io.Discard, errs: io.Discard, dsn: dsn, site: "main", via: "watch", founds: true,
		now: func() time.Time { return n.now }}
	t.Cleanup(e.close)
	a, err := e.open(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	verify, backup := 2*measure.Hour, 150*measure.Minute
	n.keeper = newKeeper(a, dsn, config.Upkeep{Verify: &verify, Backup: &backup, Folder: n.folder, Daily: 7, Weekly: 5})
	return n
}

func (n *nights) at(text string) time.Time {
	n.Helper()
	at, err := time.Parse("2006-01-02 15:04", text)
	if err != nil {
		n.Fatal(err)
	}
	return at
}

// run does what is due; what fails is left to its alarm.
func (n *nights) run(text string) {
	n.Helper()
	n.now = n.at(text)
	a := n.keeper.app
	s := &schedule.Schedule{DB: a.DB, Site: a.Site, Now: a.Now, Log: slog.New(slog.DiscardHandler),
		Jobs: n.keeper.jobs()[1:]} // the disk is not this test's
	s.Once(n.Context())
}

// alarms compares the kinds of alarms that stand.
func (n *nights) alarms(want ...string) {
	n.Helper()
	if _, _, err := n.keeper.app.Watch(n.Context(), 0); err != nil {
		n.Fatal(err)
	}
	open, err := n.keeper.app.Alarms(n.Context(), false)
	if err != nil {
		n.Fatal(err)
	}
	var got []string
	for _, a := range open {
		if a.Stands() && slices.Contains([]alarm.Kind{alarm.BackupFailed, alarm.LedgerUnverified}, a.Kind) {
			got = append(got, string(a.Kind))
		}
	}
	if !slices.Equal(got, want) {
		n.Errorf("%s: alarms %q, want %q", n.now, got, want)
	}
}

// done checks that upkeep was done and went well.
func (n *nights) done(kinds ...alarmdb.Task) {
	n.Helper()
	list, err := n.keeper.app.Upkeep(n.Context())
	if err != nil {
		n.Fatal(err)
	}
	for _, d := range list {
		if slices.Contains(kinds, d.Kind) && (d.Good.At == 0 || d.Last.Problem != "") {
			n.Errorf("%s: good %+v, last %+v, want it done and well", d.Kind, d.Good, d.Last)
		}
	}
}
