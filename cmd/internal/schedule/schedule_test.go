package schedule_test

import (
	"bytes"
	"context"
	"errors"
	"log/slog"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/jmoiron/sqlx"

	"ovenward/alerts/alarmdb"
	"ovenward/cmd/internal/schedule"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
)

// bench runs a schedule on the clock of a synctest bubble, which begins at
// midnight of 2000-01-01 UTC.
type bench struct {
	t   *testing.T
	db  *db.DB
	log *lockedBuffer
}

// lockedBuffer may be read while a schedule writes to it.
type lockedBuffer struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (l *lockedBuffer) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.Write(p)
}

func (l *lockedBuffer) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.String()
}

func newBench(t *testing.T) *bench {
	t.Helper()
	d, err := db.Scratch(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := d.Close(); err != nil {
			t.Error(err)
		}
	})
	return &bench{t: t, db: d, log: &lockedBuffer{}}
}

func (b *bench) logger() *slog.Logger { return slog.New(slog.NewTextHandler(b.log, nil)) }

// start runs jobs until stop is called, which returns what Run returned.
func (b *bench) start(jobs ...schedule.Job) (stop func() error) {
	ctx, cancel := context.WithCancel(b.t.Context())
	s := schedule.Schedule{DB: b.db, Site: "yard", Now: time.Now, Jobs: jobs, Patience: 10 * time.Second,
		Log: b.logger()}
	ended := make(chan error, 1)
	go func() { ended <- s.Run(ctx) }()
	return func() error {
		cancel()
		return <-ended
	}
}

// during runs jobs for a time.
func (b *bench) during(d time.Duration, jobs ...schedule.Job) {
	b.t.Helper()
	stop := b.start(jobs...)
	time.Sleep(d)
	synctest.Wait()
	if err := stop(); err != nil {
		b.t.Errorf("Run: %v", err)
	}
}

// job notes when it ran, by the bubble's clock.
func job(name string, ran *[]string, run func() error) schedule.Job {
	return schedule.Job{Name: name, Run: func(context.Context, schedule.Due) error {
		*ran = append(*ran, time.Now().UTC().Format("15:04:05"))
		return run()
	}}
}

func fine() error { return nil }

func (b *bench) want(what string, got []string, want string) {
	b.t.Helper()
	if s := strings.Join(got, " "); s != want {
		b.t.Errorf("%s ran at %q, want %q", what, s, want)
	}
}

func TestAJobRunsAtTheStartAndEveryMinute(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t)
		time.Sleep(30 * time.Second)
		var ran []string
		b.during(3*time.Minute, job("conditions", &ran, fine))
		b.want("the job", ran, "00:00:30 00:01:00 00:02:00 00:03:00")
	})
}

// TestAPanicStopsNothing: neither the job after it nor its own next run.
func TestAPanicStopsNothing(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t)
		var first, second []string
		b.during(2*time.Minute+time.Second,
			job("first", &first, func() error { panic("no such oven") }),
			job("second", &second, fine))
		b.want("the panicking job", first, "00:00:00 00:01:00 00:02:00")
		b.want("the job after it", second, "00:00:00 00:01:00 00:02:00")
		if !strings.Contains(b.log.String(), "no such oven") {
			t.Errorf("the panic is not in the log:\n%s", b.log)
		}
	})
}

// TestAFailedSlotIsTriedAgain a minute later, and noted until then.
func TestAFailedSlotIsTriedAgain(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t)
		var ran []string
		daily := job("days", &ran, func() error {
			if len(ran) < 3 {
				return errors.New("disk full")
			}
			return nil
		})
		daily.Slot = schedule.Daily(utc, measure.Hour)
		b.during(10*time.Minute, daily)
		b.want("the job", ran, "00:00:00 00:01:00 00:02:00")
		if n := strings.Count(b.log.String(), "disk full"); n != 2 {
			t.Errorf("the failure is in the log %d times, want 2:\n%s", n, b.log)
		}
	})
}

func utc(context.Context) (*time.Location, error) { return time.UTC, nil }

// TestAMinuteIsSkippedWhileTheLastOneRuns: a job that takes 2:30 is not piled up.
func TestAMinuteIsSkippedWhileTheLastOneRuns(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t)
		var ran []string
		b.during(8*time.Minute+45*time.Second, job("slow", &ran, func() error { time.Sleep(150 * time.Second); return nil }))
		b.want("the slow job", ran, "00:00:00 00:03:00 00:06:00")
		if n := strings.Count(b.log.String(), "skipped"); n != 6 {
			t.Errorf("%d minutes are logged as skipped, want 6 (1, 2, 4, 5, 7, 8):\n%s", n, b.log)
		}
	})
}

// TestStoppingEndsTheJobThatRuns by its context, and waits for it.
func TestStoppingEndsTheJobThatRuns(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t)
		tidied := false
		stop := b.start(schedule.Job{Name: "long", Run: func(ctx context.Context, _ schedule.Due) error {
			<-ctx.Done()
			time.Sleep(3 * time.Second) // it rolls back
			tidied = true
			return ctx.Err()
		}})
		synctest.Wait()
		asked := time.Now()
		if err := stop(); err != nil || !tidied {
			t.Errorf("Run returned %v, the job was waited for: %t", err, tidied)
		}
		if took := time.Since(asked); took != 3*time.Second {
			t.Errorf("stopping took %s, want the 3s of the job", took)
		}
		if runs := b.runs("long"); len(runs) != 1 || runs[0].Finished != nil || runs[0].Result == "" {
			t.Errorf("runs %+v, want one that was broken off", runs)
		}
	})
}

func TestStoppingDoesNotWaitForEver(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t)
		release := make(chan struct{})
		stop := b.start(schedule.Job{Name: "deaf", Run: func(context.Context, schedule.Due) error {
			<-release
			return nil
		}})
		synctest.Wait()
		asked := time.Now()
		if err := stop(); !errors.Is(err, schedule.ErrStillRunning) {
			t.Errorf("Run returned %v, want ErrStillRunning", err)
		}
		if took := time.Since(asked); took != 10*time.Second {
			t.Errorf("stopping took %s, want the patience of 10s", took)
		}
		close(release)
		synctest.Wait()
	})
}

// TestMissedSlotsAreRunAsOne: after five hours without the program the job runs
// once at the start, not three hundred times.
func TestMissedSlotsAreRunAsOne(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t)
		var ran []string
		b.during(time.Second, job("conditions", &ran, fine))
		time.Sleep(5 * time.Hour)
		b.during(time.Second, job("conditions", &ran, fine))
		b.want("the job", ran, "00:00:00 05:00:01")
	})
}

// TestARestartRepeatsNoSlot starts the program fifty times within a minute.
func TestARestartRepeatsNoSlot(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t)
		var ran []string
		for range 50 {
			b.during(time.Second, job("conditions", &ran, fine))
		}
		b.want("the job", ran, "00:00:00")
	})
}

// TestADailyJobRunsOnceADay over three days, asked every minute.
func TestADailyJobRunsOnceADay(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t)
		days := 0
		daily := schedule.Job{Name: "days", Slot: schedule.Daily(utc, measure.Hour),
			Run: func(context.Context, schedule.Due) error { days++; return nil }}
		b.during(3*24*time.Hour, daily)
		if days != 4 { // at the start for the day before, then three times at 01:00
			t.Errorf("it ran %d times, want 4", days)
		}
	})
}

func (b *bench) runs(job string) (list []alarmdb.Run) {
	b.t.Helper()
	err := b.db.Read(b.t.Context(), func(tx *sqlx.Tx) (err error) {
		list, err = alarmdb.Runs(b.t.Context(), tx, "yard", job)
		return err
	})
	if err != nil {
		b.t.Fatal(err)
	}
	return list
}
