package schedule_test

import (
	"context"
	"errors"
	"testing"
	"time"

	"ovenward/cmd/internal/schedule"
	"ovenward/inventory/measure"
)

// TestEveryDayHasOneSlot walks five years of zones in which the clocks go
// forward over midnight (Santiago until 2022, Havana), back over it, by half an
// hour (Lord Howe), and never. From half hour to half hour the slot moves on
// once for each day on the calendar, never back, and is never ahead of the
// clock.
func TestEveryDayHasOneSlot(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"America/Halifax", "America/Santiago", "America/Havana", "Australia/Lord_Howe",
		"Asia/Kolkata", "UTC"} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			zone, err := time.LoadLocation(name)
			if err != nil {
				t.Fatal(err)
			}
			slot := schedule.Daily(func(context.Context) (*time.Location, error) { return zone, nil }, measure.Hour)
			first := measure.At(time.Date(2019, 1, 1, 12, 0, 0, 0, zone))
			last := measure.At(time.Date(2024, 1, 1, 12, 0, 0, 0, zone))
			before, changes := measure.Instant(0), 0
			for at := first; at <= last; at = at.Add(30 * measure.Minute) {
				s, err := slot(t.Context(), at)
				if err != nil {
					t.Fatal(err)
				}
				if s > at || s < before || at.Sub(s) > 26*measure.Hour {
					t.Fatalf("at %s the slot is %s, the one before %s", at, s, before)
				}
				if s != before {
					changes++
				}
				before = s
			}
			if want := 1 + 5*365 + 1; changes != want { // with 29 February 2020
				t.Errorf("%d slots in five years, want %d", changes, want)
			}
		})
	}
}

// TestASlotComesAnHourAfterTheDayBegins, by the clock that people read: on the
// days on which it changes as well.
func TestASlotComesAnHourAfterTheDayBegins(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct{ zone, at, want string }{
		{"America/Halifax", "2025-06-06T12:00:00-03:00", "2025-06-06T01:00:00-03:00"},
		{"America/Halifax", "2025-06-06T00:59:59-03:00", "2025-06-05T01:00:00-03:00"},
		{"America/Halifax", "2025-11-02T12:00:00-04:00", "2025-11-02T01:00:00-03:00"}, // 01:00 comes twice: the first
		// Midnight of 8 September 2019 did not exist: the day began at 01:00.
		{"America/Santiago", "2019-09-08T12:00:00-03:00", "2019-09-08T02:00:00-03:00"},
	} {
		zone, err := time.LoadLocation(tt.zone)
		if err != nil {
			t.Fatal(err)
		}
		at, err := time.Parse(time.RFC3339, tt.at)
		if err != nil {
			t.Fatal(err)
		}
		want, err := time.Parse(time.RFC3339, tt.want)
		if err != nil {
			t.Fatal(err)
		}
		slot := schedule.Daily(func(context.Context) (*time.Location, error) { return zone, nil }, measure.Hour)
		got, err := slot(t.Context(), measure.At(at))
		if err != nil || got != measure.At(want) {
			t.Errorf("%s at %s: slot %s, %v, want %s", tt.zone, tt.at, got.Time().In(zone), err, tt.want)
		}
	}
}

func TestAZoneThatCannotBeReadIsAnError(t *testing.T) {
	t.Parallel()
	broken := errors.New("database is busy")
	slot := schedule.Daily(func(context.Context) (*time.Location, error) { return nil, broken }, measure.Hour)
	if _, err := slot(t.Context(), 0); !errors.Is(err, broken) {
		t.Errorf("error %v, want %v", err, broken)
	}
}
