package main

import (
	"testing"
	"time"

	"pgregory.net/rapid"

	"ovenward/inventory/measure"
)

// at is an instant on 2 March 2026, UTC.
func at(t *testing.T, clock string) measure.Instant {
	t.Helper()
	day, err := time.Parse("2006-01-02 15:04:05.999999", "2026-03-02 "+clock)
	if err != nil {
		t.Fatal(err)
	}
	return measure.At(day)
}

func TestLimitsAreRoundedDownAndHoldsUp(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ exact, until, from string }{
		{"10:45:00", "10:45", "10:45"},
		{"10:45:00.000001", "10:45", "10:46"},
		{"10:45:59.999999", "10:45", "10:46"},
		{"23:59:30", "23:59", "3 Mar 00:00"},
	} {
		exact := at(t, c.exact)
		if got := until(exact, time.UTC, exact); got != c.until {
			t.Errorf("until(%s) = %q, want %q", c.exact, got, c.until)
		}
		if got := from(exact, time.UTC, exact); got != c.from {
			t.Errorf("from(%s) = %q, want %q", c.exact, got, c.from)
		}
	}
}

func TestExposureIsRoundedUpAndTimeLeftDown(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		d           measure.Duration
		hours, left string
	}{
		{0, "0:00", "0 s"},
		{1, "0:01", "0 s"},
		{59 * measure.Second, "0:01", "59 s"},
		{measure.Minute, "0:01", "1 min"},
		{measure.Minute + measure.Second, "0:02", "1 min"},
		{4*measure.Hour - 1, "4:00", "3 h 59 min"},
		{4 * measure.Hour, "4:00", "4 h"},
		{4*measure.Hour + 1, "4:01", "4 h"},
	} {
		if got := hours(c.d); got != c.hours {
			t.Errorf("hours(%d) = %q, want %q", c.d, got, c.hours)
		}
		if got := left(c.d); got != c.left {
			t.Errorf("left(%d) = %q, want %q", c.d, got, c.left)
		}
	}
}

func TestRecordedExposureIsShownToTheMinute(t *testing.T) {
	t.Parallel()
	for in, want := range map[string]string{"0:00": "0:00", "3:45": "3:45", "3:45:01": "3:46", "0:59:59": "1:00", "none": "none"} {
		if got := recorded(in); got != want {
			t.Errorf("recorded(%q) = %q, want %q", in, got, want)
		}
	}
}

func TestNoTimeIsEmpty(t *testing.T) {
	t.Parallel()
	if got := when(0, time.UTC); got != "" {
		t.Errorf("when(0) = %q, want nothing", got)
	}
}

func TestRoundingNeverGivesMoreThanThereIs(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		const day = measure.Instant(measure.Day)
		exact := measure.Instant(rapid.Int64Range(-400*365*int64(day), 400*365*int64(day)).Draw(t, "instant"))
		down, up := exact.Minute(), exact.NextMinute()
		const m = measure.Instant(measure.Minute)
		if down%m != 0 || up%m != 0 {
			t.Fatalf("%d and %d are no whole minutes", down, up)
		}
		if down > exact || up < exact || up-down > m || (up == down) != (exact%m == 0) {
			t.Fatalf("%d is between %d and %d", exact, down, up)
		}
	})
}
