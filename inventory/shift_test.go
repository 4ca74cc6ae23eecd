package inventory_test

import (
	"errors"
	"testing"
	"time"
	_ "time/tzdata" // New York's clock changes, on any machine

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"ovenward/inventory"
	"ovenward/inventory/measure"
)

func zoneOf(t testing.TB, name string) *time.Location {
	t.Helper()
	zone, err := time.LoadLocation(name)
	if err != nil {
		t.Fatal(err)
	}
	return zone
}

func shifts(t testing.TB, text string) []inventory.Shift {
	t.Helper()
	all, err := inventory.ParseShifts(text)
	if err != nil {
		t.Fatal(err)
	}
	return all
}

func instantIn(t testing.TB, text string, zone *time.Location) measure.Instant {
	t.Helper()
	at, err := measure.ParseInstant(text, zone)
	if err != nil {
		t.Fatal(err)
	}
	return at
}

// A night shift is of the day on which it begins: what happens at 01:50 on 11
// June under a shift from 18:00 is of 10 June.
func TestNightShiftIsOfTheDayItBegan(t *testing.T) {
	t.Parallel()
	zone := zoneOf(t, "America/Halifax")
	all := shifts(t, "06:00-18:00,18:00-06:00")
	for at, want := range map[string]string{
		"2025-06-10 05:59": "2025-06-09 18:00-06:00",
		"2025-06-10 06:00": "2025-06-10 06:00-18:00",
		"2025-06-10 17:59": "2025-06-10 06:00-18:00",
		"2025-06-10 22:15": "2025-06-10 18:00-06:00",
		"2025-06-11 01:50": "2025-06-10 18:00-06:00",
	} {
		got, ok := inventory.DutyAt(all, instantIn(t, at, zone), zone)
		if !ok || got.String() != want {
			t.Errorf("DutyAt(%s) = %s, %t, want %s", at, got, ok, want)
		}
	}
}

// In New York the clocks went back on 2 November 2025 and forward on 9 March
// 2025, each at 02:00: that night has thirteen hours, or eleven.
func TestNightOfTheClockChangeIsLongerOrShorter(t *testing.T) {
	t.Parallel()
	zone := zoneOf(t, "America/New_York")
	night := shifts(t, "18:00-06:00")[0]
	for day, want := range map[measure.Date]measure.Duration{
		"2025-11-01": 13 * measure.Hour, "2025-03-08": 11 * measure.Hour, "2025-06-10": 12 * measure.Hour,
	} {
		d := night.On(day, zone)
		if got := d.To.Sub(d.From); got != want {
			t.Errorf("night of %s lasts %s, want %s", day, got, want)
		}
	}
	whole := shifts(t, "00:00-00:00")[0].On("2025-11-02", zone)
	if got := whole.To.Sub(whole.From); got != 25*measure.Hour {
		t.Errorf("2 November lasts %s, want 25 h", got)
	}
}

func TestTimeBetweenShiftsIsOfNone(t *testing.T) {
	t.Parallel()
	zone := zoneOf(t, "America/Halifax")
	if d, ok := inventory.DutyAt(shifts(t, "06:00-14:30"), instantIn(t, "2025-06-10 14:30", zone), zone); ok {
		t.Errorf("14:30 is in shift %s, which is over", d)
	}
}

func TestShiftsThatAreNoneAreRefused(t *testing.T) {
	t.Parallel()
	for _, text := range []string{"", "6-18", "06:00", "06:00-25:00", "06:00-18:00,17:00-06:00", "18:00-07:00,06:00-18:00", "06:00-18:00,06:00-18:00"} {
		_, err := inventory.ParseShifts(text)
		ref, ok := errors.AsType[*inventory.Refusal](err)
		if !ok || ref.Code != inventory.Unit || ref.Next == "" {
			t.Errorf("ParseShifts(%q) = %v, want a refusal with code unit and a next step", text, err)
		}
	}
}

func TestShiftsAreReadAsTheyArePrinted(t *testing.T) {
	t.Parallel()
	all := shifts(t, " 14:00-22:00, 22:00-06:00,06:00-14:00 ")
	if got, want := inventory.ShiftsText(all), "06:00-14:00,14:00-22:00,22:00-06:00"; got != want {
		t.Errorf("ShiftsText() = %q, want %q", got, want)
	}
	if diff := cmp.Diff(all, shifts(t, inventory.ShiftsText(all))); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

// Where shifts follow each other around the clock, every instant of the year is
// in exactly one of them, on the nights of the clock changes too.
func TestEveryInstantIsInOneShift(t *testing.T) {
	t.Parallel()
	zone := zoneOf(t, "America/New_York")
	all := shifts(t, "06:00-14:00,14:00-22:00,22:00-06:00")
	first, last := instantIn(t, "2025-01-01 00:00", zone), instantIn(t, "2026-01-01 00:00", zone)
	rapid.Check(t, func(t *rapid.T) {
		at := measure.Instant(rapid.Int64Range(int64(first), int64(last)).Draw(t, "at"))
		found := inventory.Duties(all, at, at+1, zone)
		if len(found) != 1 {
			t.Fatalf("%s is in shifts %v", at, found)
		}
		if d, ok := inventory.DutyAt(all, at, zone); !ok || d != found[0] {
			t.Fatalf("%s is in %v, and DutyAt says %v", at, found[0], d)
		}
	})
}

func FuzzParseShifts(f *testing.F) {
	for _, s := range []string{"06:00-18:00,18:00-06:00", "00:00-00:00", "", "-", "24:00-1", "06:00-14:00,"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		all, err := inventory.ParseShifts(s)
		if err != nil {
			return
		}
		again, err := inventory.ParseShifts(inventory.ShiftsText(all))
		if err != nil || !cmp.Equal(all, again) {
			t.Errorf("%q is read as %v, and printed and read again as %v, %v", s, all, again, err)
		}
	})
}
