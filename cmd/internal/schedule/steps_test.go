package schedule_test

import (
	"context"
	"log/slog"
	"testing"
	"testing/synctest"
	"time"

	"ovenward/cmd/internal/schedule"
	"ovenward/inventory/measure"
)

// TestAStepOfTheClockLosesAndRepeatsNoSlot sets the clock after a day and
// a half, and right again an hour later, if at all. Each slot of a job every six
// hours must be run once at most, or told as missed, and a minute job must go on.
func TestAStepOfTheClockLosesAndRepeatsNoSlot(t *testing.T) {
	t.Parallel()
	for name, step := range map[string]time.Duration{"hour": time.Hour, "day": 24 * time.Hour,
		"hour back": -time.Hour, "day back": -24 * time.Hour} {
		for _, righted := range []bool{false, true} {
			t.Run(name, func(t *testing.T) {
				t.Parallel()
				synctest.Test(t, func(t *testing.T) { stepped(t, step, righted) })
			})
		}
	}
}

// lookEvery is coarse, so that days are short.
const lookEvery = 20 * time.Minute

func stepped(t *testing.T, step time.Duration, righted bool) {
	b := newBench(t)
	begun, off, beats, worst := time.Now(), time.Duration(0), time.Now(), time.Duration(0)
	now := func() time.Time { return time.Now().Add(off) }
	slots := map[measure.Instant]int{}
	missed := 0
	jobs := []schedule.Job{
		{Name: "minute", Run: func(context.Context, schedule.Due) error {
			worst, beats = max(worst, time.Since(beats)), time.Now()
			return nil
		}},
		{Name: "shift", Slot: sixHourly, Run: func(_ context.Context, d schedule.Due) error {
			slots[d.Slot]++
			missed += d.Missed
			return nil
		}},
	}
	s := &schedule.Schedule{DB: b.db, Site: "yard", Now: now, Jobs: jobs, Patience: time.Minute, Log: slog.New(slog.DiscardHandler)}
	for look := range 3 * 24 * 3 {
		switch look {
		case 36*3 + 1:
			off = step
		case 37*3 + 1:
			if righted {
				off = 0
			}
		}
		s.Once(t.Context())
		time.Sleep(lookEvery)
	}
	if worst > lookEvery {
		t.Errorf("the minute job was not run for %s", worst)
	}
	for at := measure.At(begun); at <= measure.At(now().Add(-lookEvery)); at = at.Add(6 * measure.Hour) {
		if n := slots[at]; n > 1 || (n == 0 && missed == 0) {
			t.Errorf("slot %s was run %d times, %d are told as missed", at.Time(), n, missed)
		}
		if slots[at] == 0 {
			missed--
		}
	}
}

func sixHourly(_ context.Context, at measure.Instant) (measure.Instant, error) {
	six := measure.Instant(6 * measure.Hour)
	return at / six * six, nil
}
