package measure_test

import (
	"testing"
	"time"

	"pgregory.net/rapid"

	"ovenward/inventory/measure"
)

func TestDatesAreReadInOneForm(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]measure.Date{
		"2025-06-05": "2025-06-05", " 2024-02-29 ": "2024-02-29", "0001-01-01": "0001-01-01", "9999-12-31": "9999-12-31",
	} {
		if got, err := measure.ParseDate(text); err != nil || got != want {
			t.Errorf("ParseDate(%q) = %q, %v, want %q", text, got, err, want)
		}
	}
	checkFaults(t, "date", measure.ParseDate, faults{
		"": "not a date", "2025-6-5": "not a date", "05.06.2025": "not a date", "06/05/2025": "not a date",
		"2025-02-29": "not a date", "2025-13-01": "not a date", "2025-06-31": "not a date",
		"2025-06-05 07:00": "not a date",
	})
}

func TestDaysAreCountedOnTheCalendar(t *testing.T) {
	t.Parallel()
	if got := measure.Date("2024-02-29").AddYears(1); got != "2025-03-01" {
		t.Errorf("a year after 29 February: %s", got)
	}
	if got := measure.Date("2024-02-29").AddYears(4); got != "2028-02-29" {
		t.Errorf("four years after 29 February: %s", got)
	}
	if got := measure.Date("2025-12-31").AddDays(1); got != "2026-01-01" {
		t.Errorf("the day after 31 December: %s", got)
	}
	if got := measure.Date("2025-03-01").AddDays(-1); got != "2025-02-28" {
		t.Errorf("the day before 1 March: %s", got)
	}
}

func TestDateIsThatOfTheSite(t *testing.T) {
	t.Parallel()
	at := utc(t, "2025-06-06T01:30:00Z")
	for name, want := range map[string]measure.Date{
		"UTC": "2025-06-06", "America/Halifax": "2025-06-05", "Pacific/Auckland": "2025-06-06",
	} {
		if got := measure.DateOf(at, zone(t, name)); got != want {
			t.Errorf("in %s it is %s, want %s", name, got, want)
		}
	}
}

// From the tz database: Santiago skips midnight in spring, Havana shows it twice
// in autumn, as Amman did up to 2022, and Apia left out a whole day.
func TestDayEndsWhenTheClockFirstShowsTheNext(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ zone, day, want string }{
		{"UTC", "2025-06-05", "2025-06-06T00:00:00Z"},
		{"America/Halifax", "2025-06-05", "2025-06-06T03:00:00Z"},
		{"America/New_York", "2025-11-02", "2025-11-03T05:00:00Z"}, // 25 hours
		{"America/New_York", "2025-03-09", "2025-03-10T04:00:00Z"}, // 23 hours
		{"America/Santiago", "2025-09-06", "2025-09-07T04:00:00Z"}, // 24:00 is 01:00
		{"America/Santiago", "2025-04-05", "2025-04-06T04:00:00Z"}, // 24:00 is 23:00
		{"America/Havana", "2025-11-01", "2025-11-02T04:00:00Z"},   // 01:00 is 00:00
		{"Asia/Amman", "2021-10-28", "2021-10-28T21:00:00Z"},       // 01:00 is 00:00
		{"Pacific/Apia", "2011-12-29", "2011-12-30T10:00:00Z"},
		{"Pacific/Apia", "2011-12-30", "2011-12-30T10:00:00Z"},
	} {
		if got := measure.Date(c.day).End(zone(t, c.zone)); got != utc(t, c.want) {
			t.Errorf("%s ends in %s at %s, want %s", c.day, c.zone, got, c.want)
		}
	}
}

// zones have every kind of change of clock that the tests care for.
var zones = []string{
	"UTC", "America/Halifax", "America/New_York", "America/Santiago", "America/Havana", "Australia/Lord_Howe",
	"Asia/Amman", "Asia/Kathmandu", "Europe/Moscow", "Europe/Dublin", "Pacific/Apia", "Africa/Casablanca",
}

// The last microsecond of a day has its date, and its end has a later one.
func TestEndPartsTwoDates(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		z, err := time.LoadLocation(rapid.SampledFrom(zones).Draw(t, "zone"))
		if err != nil {
			t.Fatal(err)
		}
		day := measure.Date("1990-01-01").AddDays(rapid.IntRange(0, 40*365).Draw(t, "day"))
		end := day.End(z)
		if got := measure.DateOf(end, z); got <= day {
			t.Fatalf("%s ends at %s, which is in %s", day, end, got)
		}
		if got := measure.DateOf(end-1, z); got > day {
			t.Fatalf("%s ends at %s, but before that it is %s", day, end, got)
		}
	})
}

// ISO 8601: a year has a week 53 if it begins on a Thursday, or is a leap year
// that begins on a Wednesday. 2026 begins on a Thursday.
func TestWeeksAreISOWeeks(t *testing.T) {
	t.Parallel()
	for day, want := range map[measure.Date]string{
		"2025-12-28": "2025-W52", "2025-12-29": "2026-W01", "2026-01-01": "2026-W01", "2026-12-31": "2026-W53",
		"2027-01-01": "2026-W53", "2027-01-03": "2026-W53", "2027-01-04": "2027-W01", "2020-12-31": "2020-W53",
		"2021-01-01": "2020-W53", "2024-12-30": "2025-W01", "2025-06-05": "2025-W23",
	} {
		if got := measure.WeekOf(day).String(); got != want {
			t.Errorf("%s is in %s, want %s", day, got, want)
		}
	}
}

func TestWeeksAreRead(t *testing.T) {
	t.Parallel()
	for text, monday := range map[string]measure.Date{
		"2026-W53": "2026-12-28", "2026-W01": "2025-12-29", "2025-W52": "2025-12-22", " 2025-W23 ": "2025-06-02",
	} {
		if w, err := measure.ParseWeek(text); err != nil || w.Monday() != monday {
			t.Errorf("ParseWeek(%q) begins on %s, %v, want %s", text, w.Monday(), err, monday)
		}
	}
	const why = "not a week of that year"
	checkFaults(t, "week", measure.ParseWeek, faults{
		"": why, "2025-W53": why, "2026-W54": why, "2026-W00": why, "2026-W1": why, "2026W01": why, "26-W01": why,
		"2026-w01": why, "2026-W01-1": why, "2026-W 1": why, "+026-W01": why, "-001-W01": why, "2026-W-1": why,
	})
}

func TestWeeksFollowEachOther(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		day := measure.Date("1950-01-01").AddDays(rapid.IntRange(0, 150*365).Draw(t, "day"))
		w := measure.WeekOf(day)
		if w.Monday() > day || w.Monday().AddDays(7) <= day {
			t.Fatalf("%s is in %s, which begins on %s", day, w, w.Monday())
		}
		if next := w.Next(); next.Monday() != w.Monday().AddDays(7) || !w.Before(next) || next.Before(w) || w.Before(w) {
			t.Fatalf("after %s comes %s", w, next)
		}
		if got, err := measure.ParseWeek(w.String()); err != nil || got != w {
			t.Fatalf("%s reads as %v, %v", w, got, err)
		}
	})
}

func FuzzParseDate(f *testing.F) {
	seed(f, "2025-06-05", "2024-02-29", "2025-02-29", "0000-01-01")
	f.Fuzz(func(t *testing.T, s string) {
		d, err := measure.ParseDate(s)
		if err != nil {
			refused(t, err, "date", s, "")
			return
		}
		if got, err := measure.ParseDate(string(d)); err != nil || got != d {
			t.Fatalf("%q is %s, which reads as %s, %v", s, d, got, err)
		}
	})
}

func FuzzParseWeek(f *testing.F) {
	seed(f, "2026-W53", "2025-W53", "2026-W01", "-001-W01", "0000-W01", "9999-W52")
	f.Fuzz(func(t *testing.T, s string) {
		w, err := measure.ParseWeek(s)
		if err != nil {
			refused(t, err, "week", s, "")
			return
		}
		if got, err := measure.ParseWeek(w.String()); err != nil || got != w {
			t.Fatalf("%q is %s, which reads as %s, %v", s, w, got, err)
		}
	})
}
