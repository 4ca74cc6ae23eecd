package schedule_test

import (
	"context"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"ovenward/cmd/internal/schedule"
	"ovenward/inventory"
	"ovenward/inventory/measure"
)

func hours(z *time.Location, shifts ...inventory.Shift) schedule.HoursFunc {
	return func(context.Context) ([]inventory.Shift, *time.Location, error) { return shifts, z, nil }
}

// TestEachShiftEndsOnce, nights over midnight as well, on the days on which the
// clocks of Halifax change: 9 March 2025 has 23 hours and 2 November 25. The
// third shift ends in the hour that is missing and that is there twice.
func TestEachShiftEndsOnce(t *testing.T) {
	t.Parallel()
	z := location(t, "America/Halifax")
	three, err := inventory.ParseShifts("06:00-18:00,18:00-01:30,01:30-06:00")
	if err != nil {
		t.Fatal(err)
	}
	missing, err := inventory.ParseShifts("10:00-02:30")
	if err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		name   string
		shifts []inventory.Shift
		from   time.Time
		want   []string
	}{
		{"spring", missing, time.Date(2025, 3, 8, 0, 0, 0, 0, z), []string{"03-08 02:45 AST", "03-09 03:15 ADT", "03-10 02:45 ADT"}},
		{"autumn", three, time.Date(2025, 11, 1, 0, 0, 0, 0, z), []string{"11-01 01:45 ADT", "11-01 06:15 ADT", "11-01 18:15 ADT",
			"11-02 01:45 ADT", "11-02 06:15 AST", "11-02 18:15 AST", "11-03 01:45 AST", "11-03 06:15 AST", "11-03 18:15 AST"}},
		{"no shifts", nil, time.Date(2025, 6, 5, 0, 0, 0, 0, z), []string{"06-05 00:15 ADT", "06-06 00:15 ADT", "06-07 00:15 ADT"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			got := bySlots(t, schedule.ShiftEnds(hours(z, tt.shifts...), 15*measure.Minute), tt.from, 3)
			if diff := cmp.Diff(tt.want, got); diff != "" {
				t.Errorf("ends of shifts (-want +got):\n%s", diff)
			}
		})
	}
}

// TestSlotsNeverGoBackAndMissNoDay: whatever the zone, the time of the day and
// the instants at which it is asked, a slot is never ahead of the clock, never
// goes back, and there is one for each day.
func TestSlotsNeverGoBackAndMissNoDay(t *testing.T) {
	t.Parallel()
	zones := []string{"America/Halifax", "America/Santiago", "America/Havana", "Australia/Lord_Howe", "Asia/Kolkata", "Africa/Casablanca", "UTC"}
	rapid.Check(t, func(rt *rapid.T) {
		z, err := time.LoadLocation(rapid.SampledFrom(zones).Draw(rt, "zone"))
		if err != nil {
			rt.Fatal(err)
		}
		clock := measure.Duration(rapid.Int64Range(0, 24*60-1).Draw(rt, "minute of the day")) * measure.Minute
		first := rapid.Int64Range(0, 3*365).Draw(rt, "day")
		from := measure.At(time.Date(2017, 1, 1, 12, 0, 0, 0, z)).Add(measure.Duration(first) * measure.Day)
		slot := schedule.DailyAt(in(z), clock)
		begin, err := slot(context.Background(), from)
		if err != nil {
			rt.Fatal(err)
		}
		before, changes, at := begin, 0, from
		for i := range 60 {
			at = at.Add(measure.Duration(rapid.Int64Range(1, 20*60).Draw(rt, "minutes")) * measure.Minute)
			s, err := slot(context.Background(), at)
			if err != nil || s > at || s < before {
				rt.Fatalf("step %d at %s: slot %s after %s, %v", i, at.Time(), s.Time(), before.Time(), err)
			}
			if s != before {
				changes++
			}
			before = s
		}
		days := measure.DateOf(begin, z).DaysUntil(measure.DateOf(before, z))
		if changes != days {
			rt.Fatalf("%d slots from %s to %s, %d days apart", changes, begin.Time().In(z), before.Time().In(z), days)
		}
	})
}

// TestAWeekHasOneSlot over three years of a zone whose clocks change over
// midnight.
func TestAWeekHasOneSlot(t *testing.T) {
	t.Parallel()
	z := location(t, "America/Santiago")
	slot := schedule.WeeklyAt(in(z), time.Sunday, 0)
	before, n := measure.Instant(0), 0
	from := time.Date(2019, 1, 1, 0, 0, 0, 0, z)
	for at := measure.At(from); at < measure.At(from.AddDate(3, 0, 0)); at = at.Add(measure.Hour) {
		s, err := slot(t.Context(), at)
		if err != nil || s > at || s < before || at.Sub(s) > 7*measure.Day+measure.Hour {
			t.Fatalf("at %s: slot %s, %v", at.Time(), s.Time(), err)
		}
		if day := s.Time().In(z).Weekday(); day != time.Sunday {
			t.Fatalf("the slot %s is on a %s", s.Time().In(z), day)
		}
		if s != before {
			n++
		}
		before = s
	}
	// 30 December 2018 and every Sunday of 2019, 2020 and 2021, which have 52 each.
	if want := 1 + 3*52; n != want {
		t.Errorf("%d slots, want %d", n, want)
	}
}
