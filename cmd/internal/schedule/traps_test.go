package schedule_test

import (
	"bytes"
	"context"
	"log/slog"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/robfig/cron/v3"

	"ovenward/cmd/internal/schedule"
	"ovenward/inventory/measure"
)

// These tests show what the cron library does that a shop must not meet, and
// that our slots and lanes do not do it. The library's behaviour was measured,
// so one of them fails as well when a new version of it behaves otherwise.

// byCron returns at which local times of a day and the two after it the library
// runs a line.
func byCron(t *testing.T, line, zone string, from time.Time, days int) (times []string) {
	t.Helper()
	z := location(t, zone)
	s, err := cron.ParseStandard(line)
	if err != nil {
		t.Fatal(err)
	}
	end := from.AddDate(0, 0, days)
	for at := s.Next(from); at.Before(end); at = s.Next(at) {
		times = append(times, at.In(z).Format("01-02 15:04 MST"))
	}
	return times
}

// bySlots returns the slots of a function over the same time.
func bySlots(t *testing.T, slot schedule.SlotFunc, from time.Time, days int) (times []string) {
	t.Helper()
	before := measure.Instant(0)
	for at := measure.At(from); at < measure.At(from.AddDate(0, 0, days)); at = at.Add(measure.Minute) {
		s, err := slot(t.Context(), at)
		if err != nil {
			t.Fatal(err)
		}
		if s != before && s >= measure.At(from) {
			times = append(times, s.Time().In(from.Location()).Format("01-02 15:04 MST"))
		}
		before = s
	}
	return times
}

func location(t *testing.T, name string) *time.Location {
	t.Helper()
	z, err := time.LoadLocation(name)
	if err != nil {
		t.Fatal(err)
	}
	return z
}

func in(z *time.Location) schedule.ZoneFunc {
	return func(context.Context) (*time.Location, error) { return z, nil }
}

// TestTrapTimesThatClockChangesSkipOrRepeat: on 9 March 2025 New York has no
// 02:30, on 8 September 2019 Santiago had no midnight, and on 2 November 2025
// New York has 01:30 twice.
func TestTrapTimesThatClockChangesSkipOrRepeat(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name, line, zone string
		clock            measure.Duration
		from             string
		cron, ours       []string
	}{
		{"the missing hour", "30 2 * * *", "America/New_York", 2*measure.Hour + 30*measure.Minute, "2025-03-08",
			[]string{"03-08 02:30 EST", "03-10 02:30 EDT"},
			[]string{"03-08 02:30 EST", "03-09 03:00 EDT", "03-10 02:30 EDT"}},
		{"the missing midnight", "0 0 * * *", "America/Santiago", 0, "2019-09-06",
			[]string{"09-07 00:00 -04"}, // and never 8 September
			[]string{"09-06 00:00 -04", "09-07 00:00 -04", "09-08 01:00 -03"}},
		{"the hour that is there twice", "30 1 * * *", "America/New_York", measure.Hour + 30*measure.Minute, "2025-11-01",
			[]string{"11-01 01:30 EDT", "11-02 01:30 EDT", "11-02 01:30 EST", "11-03 01:30 EST"},
			[]string{"11-01 01:30 EDT", "11-02 01:30 EDT", "11-03 01:30 EST"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			z := location(t, tt.zone)
			from, err := time.ParseInLocation(time.DateOnly, tt.from, z)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(tt.cron, byCron(t, tt.line, tt.zone, from, 3)); diff != "" {
				t.Errorf("the library behaves otherwise now (-want +got):\n%s", diff)
			}
			if diff := cmp.Diff(tt.ours, bySlots(t, schedule.DailyAt(in(z), tt.clock), from, 3)); diff != "" {
				t.Errorf("slots (-want +got):\n%s", diff)
			}
		})
	}
}

// TestTrapEveryHourStartsAnewAtEachStart: the library counts @every from when it
// was started; ours is the same minute whatever the program did.
func TestTrapEveryHourStartsAnewAtEachStart(t *testing.T) {
	t.Parallel()
	s, err := cron.ParseStandard("@every 1h")
	if err != nil {
		t.Fatal(err)
	}
	noon := time.Date(2025, 6, 5, 12, 0, 0, 0, time.UTC)
	if got := s.Next(noon.Add(59 * time.Minute)); got.Equal(noon.Add(time.Hour)) {
		t.Errorf("next is %s: the library counts otherwise now", got)
	}
	for _, at := range []time.Time{noon, noon.Add(59 * time.Minute)} {
		slot, err := schedule.DailyAt(in(time.UTC), 12*measure.Hour)(t.Context(), measure.At(at))
		if err != nil || slot != measure.At(noon) {
			t.Errorf("at %s the slot is %s, %v, want noon", at, slot.Time(), err)
		}
	}
}

// TestTrapAPanicUnderRecoverFirst: with the library's wrappers the other way
// round, a job that panicked once is skipped for ever.
func TestTrapAPanicUnderRecoverFirst(t *testing.T) {
	t.Parallel()
	quiet := cron.DiscardLogger
	var ran atomic.Int32
	panics := cron.FuncJob(func() { ran.Add(1); panic("once") })
	wrong := cron.NewChain(cron.Recover(quiet), cron.SkipIfStillRunning(quiet)).Then(panics)
	wrong.Run()
	wrong.Run()
	if n := ran.Load(); n != 1 {
		t.Errorf("Recover first: it ran %d times of 2, and the library no longer loses it", n)
	}
	ran.Store(0)
	right := cron.NewChain(cron.SkipIfStillRunning(quiet), cron.Recover(quiet)).Then(panics)
	right.Run()
	right.Run()
	if n := ran.Load(); n != 2 {
		t.Errorf("Skip first: it ran %d times, want 2", n)
	}
}

// TestTrapRunsPileUp: without a wrapper the library runs a slow job beside
// itself; a lane never does.
func TestTrapRunsPileUp(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		var at, most atomic.Int32
		slow := func(ctx context.Context) {
			most.Store(max(most.Load(), at.Add(1)))
			select {
			case <-ctx.Done():
			case <-time.After(150 * time.Second):
			}
			at.Add(-1)
		}
		c := cron.New(cron.WithLocation(time.UTC))
		if _, err := c.AddFunc("* * * * *", func() { slow(t.Context()) }); err != nil {
			t.Fatal(err)
		}
		c.Start()
		time.Sleep(10 * time.Minute)
		<-c.Stop().Done()
		if most.Load() < 2 {
			t.Errorf("%d run side by side: the library behaves otherwise now", most.Load())
		}
		most.Store(0)
		b := newBench(t)
		b.during(10*time.Minute, schedule.Job{Name: "slow", Lane: "long",
			Run: func(ctx context.Context, _ schedule.Due) error { slow(ctx); return nil }})
		if most.Load() != 1 {
			t.Errorf("%d ran side by side in a lane, want 1", most.Load())
		}
	})
}

// TestTrapLinesThatNeverComeOrAreRefused is why no cron line is asked of anybody:
// 30 February is taken and never comes, Sunday as 7 is refused, and half a second
// is made a whole one.
func TestTrapLinesThatNeverComeOrAreRefused(t *testing.T) {
	t.Parallel()
	never, err := cron.ParseStandard("0 0 30 2 *")
	if err != nil || !never.Next(time.Date(2025, 1, 1, 0, 0, 0, 0, time.UTC)).IsZero() {
		t.Errorf("30 February: %v, want that it is taken and has no next time", err)
	}
	if _, err := cron.ParseStandard("0 0 * * 7"); err == nil {
		t.Error("Sunday as 7 is taken now")
	}
	if got := cron.Every(500 * time.Millisecond).Delay; got != time.Second {
		t.Errorf("every 500 ms is every %s, want 1s", got)
	}
	if _, err := schedule.ParseWeekday("7"); err == nil {
		t.Error("a day of the week is written with its name, and 7 was taken")
	}
}

// TestTrapNothingIsCaughtUp: a line that was due while the program was stopped is
// nothing to the library; our slot is run, late.
func TestTrapNothingIsCaughtUp(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t)
		var got []string
		daily := schedule.Job{Name: "nightly", Slot: schedule.DailyAt(utc, 2*measure.Hour), Run: func(_ context.Context, d schedule.Due) error {
			got = append(got, d.Slot.Time().Format("02 15:04")+" "+d.String())
			return nil
		}}
		b.during(3*time.Hour, daily)
		time.Sleep(3*24*time.Hour + 90*time.Minute)
		byCron := 0
		c := cron.New(cron.WithLocation(time.UTC))
		if _, err := c.AddFunc("0 2 * * *", func() { byCron++ }); err != nil {
			t.Fatal(err)
		}
		c.Start()
		b.during(time.Hour, daily)
		<-c.Stop().Done()
		if byCron != 0 {
			t.Errorf("the library caught up %d times", byCron)
		}
		want := []string{"31 02:00 ", "01 02:00 ", "04 02:00 late by 2 h 30 min, and 2 before it missed"}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("runs (-want +got):\n%s", diff)
		}
	})
}

// TestTrapStopDoesNotCancel: the library waits for a running job and tells it
// nothing; ours hears it by its context. See TestStoppingEndsTheJobThatRuns.
func TestTrapStopDoesNotCancel(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		c := cron.New(cron.WithLocation(time.UTC), cron.WithLogger(cron.PrintfLogger(slog.NewLogLogger(slog.NewTextHandler(&bytes.Buffer{}, nil), 0))))
		if _, err := c.AddFunc("* * * * *", func() { time.Sleep(30 * time.Second) }); err != nil {
			t.Fatal(err)
		}
		c.Start()
		time.Sleep(time.Minute + time.Second)
		asked := time.Now()
		<-c.Stop().Done()
		if took := time.Since(asked); took != 29*time.Second {
			t.Errorf("stopping took %s, want the 29s that the job had left", took)
		}
	})
}
