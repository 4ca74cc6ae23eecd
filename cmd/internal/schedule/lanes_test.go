package schedule_test

import (
	"context"
	"errors"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/jmoiron/sqlx"

	"ovenward/alerts/alarmdb"
	"ovenward/cmd/internal/schedule"
	"ovenward/inventory/measure"
)

// TestALongJobHoldsUpOnlyItsLane: the minutes go on beside a backup of five
// minutes, and what shares its lane comes after it.
func TestALongJobHoldsUpOnlyItsLane(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t)
		var minutes, behind []string
		backup := schedule.Job{Name: "backup", Lane: "long", Slot: schedule.Daily(utc, 0),
			Run: func(context.Context, schedule.Due) error { time.Sleep(5 * time.Minute); return nil }}
		after := job("drill", &behind, fine)
		after.Lane, after.Slot = "long", schedule.Daily(utc, 0)
		b.during(6*time.Minute+time.Second, job("conditions", &minutes, fine), backup, after)
		b.want("conditions", minutes, "00:00:00 00:01:00 00:02:00 00:03:00 00:04:00 00:05:00 00:06:00")
		b.want("what is behind the long job", behind, "00:05:00")
		if strings.Contains(b.log.String(), "skipped") {
			t.Errorf("a minute was said to be skipped:\n%s", b.log)
		}
	})
}

// TestAPanicOfALongJobStopsNoOther and is kept as what the run came to.
func TestAPanicOfALongJobStopsNoOther(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t)
		var minutes, long []string
		verify := job("verify", &long, func() error { panic("no such table") })
		verify.Lane = "long"
		b.during(time.Minute+time.Second, verify, job("conditions", &minutes, fine))
		b.want("conditions", minutes, "00:00:00 00:01:00")
		b.want("the job that panics", long, "00:00:00 00:01:00")
		runs := b.runs("verify")
		if len(runs) == 0 || runs[0].Result != "it panicked: no such table" {
			t.Errorf("runs %+v, want that it panicked and why", runs)
		}
	})
}

// TestAFailedRunWaitsItsRetry: a disk that is full is not asked every minute.
func TestAFailedRunWaitsItsRetry(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t)
		var ran []string
		backup := job("backup", &ran, func() error { return errors.New("disk full") })
		backup.Slot, backup.Retry = schedule.Daily(utc, 0), 15*measure.Minute
		b.during(40*time.Minute, backup)
		b.want("the backup", ran, "00:00:00 00:15:00 00:30:00")
	})
}

// TestALongRunIsNotTakenForADeadOne: another program on the same database leaves
// a run of half an hour alone, and takes the slot of one whose program was killed.
func TestALongRunIsNotTakenForADeadOne(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t)
		var first, second []string
		long := job("backup", &first, func() error { time.Sleep(30 * time.Minute); return nil })
		long.Slot = schedule.Daily(utc, 0)
		other := job("backup", &second, fine)
		other.Slot = long.Slot
		stop := b.start(long)
		synctest.Wait()
		b.during(35*time.Minute, other)
		if err := stop(); err != nil {
			t.Error(err)
		}
		b.want("the long run", first, "00:00:00")
		b.want("the other program", second, "")

		at := measure.At(time.Now())
		err := b.db.Write(t.Context(), func(tx *sqlx.Tx) error { // killed right after it began
			_, err := alarmdb.Claim(t.Context(), tx, "yard", "verify", at, at, 0)
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
		var third []string
		verify := job("verify", &third, fine)
		verify.Slot = func(context.Context, measure.Instant) (measure.Instant, error) { return at, nil }
		b.during(15*time.Minute, verify)
		b.want("after a kill", third, "00:46:00")
	})
}

// TestOnceRunsWhatIsDueAndSaysSo, and nothing twice.
func TestOnceRunsWhatIsDueAndSaysSo(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t)
		s := schedule.Schedule{DB: b.db, Site: "yard", Now: time.Now, Log: b.logger(), Patience: time.Second, Jobs: []schedule.Job{
			{Name: "verify", Slot: schedule.DailyAt(utc, 2*measure.Hour), Run: schedule.Plain(func(context.Context) error { return nil })},
			{Name: "backup", Slot: schedule.DailyAt(utc, 2*measure.Hour), Run: schedule.Plain(func(context.Context) error { panic("no disk") })},
			{Name: "list", Slot: schedule.WeeklyAt(utc, time.Monday, 6*measure.Hour), Run: schedule.Plain(func(context.Context) error { return nil })},
		}}
		said := func() (out []string) {
			for _, r := range s.Once(t.Context()) {
				text := r.Job + " " + r.Due.String()
				if r.Err != nil {
					text += r.Err.Error()
				}
				out = append(out, text)
			}
			return out
		}
		want := [][]string{{"verify ", "backup it panicked: no disk", "list "}, {"backup it panicked: no disk"},
			{"verify late by 10 h", "backup it panicked: no disk"}}
		got := [][]string{said(), said()}
		time.Sleep(12 * time.Hour)
		if diff := cmp.Diff(want, append(got, said())); diff != "" {
			t.Errorf("runs (-want +got):\n%s", diff)
		}
	})
}
