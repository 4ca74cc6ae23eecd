package measure_test

import (
	"testing"
	"time"

	"pgregory.net/rapid"

	"ovenward/inventory/measure"
)

func TestInstantsAreMicrosecondsUTC(t *testing.T) {
	t.Parallel()
	at := time.Date(2025, 6, 5, 10, 45, 0, 123_456_789, time.FixedZone("", -3*3600))
	i := measure.At(at)
	if want := measure.Instant(1_749_131_100_123_456); i != want { // date -u -d '2025-06-05 13:45' +%s
		t.Errorf("At() = %d, want %d", i, want)
	}
	if got := i.String(); got != "2025-06-05T13:45:00.123456Z" {
		t.Errorf("String() = %s", got)
	}
	if got := i.Time(); !got.Equal(at.Truncate(time.Microsecond)) || got.Location() != time.UTC {
		t.Errorf("Time() = %s", got)
	}
}

func TestInstantsAddAndSubtract(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		i := measure.Instant(rapid.Int64Range(-1e17, 1e17).Draw(t, "instant"))
		d := measure.Duration(rapid.Int64Range(-1e17, 1e17).Draw(t, "duration"))
		if got := i.Add(d).Sub(i); got != d {
			t.Fatalf("%d and %d later are %d apart", i, d, got)
		}
		if got := i.Time().Add(d.Std()); i > 0 && d > 0 && d < 1e15 && measure.At(got) != i.Add(d) {
			t.Fatalf("%d and %d later is %s, want %s", i, d, i.Add(d), got)
		}
	})
}

func TestInstantIsShownOnTheSitesClock(t *testing.T) {
	t.Parallel()
	halifax := zone(t, "America/Halifax") // three hours behind UTC in June
	base := utc(t, "2025-06-05T13:45:00Z")
	for _, c := range []struct{ at, in, clock string }{
		{"2025-06-05T13:45:00Z", "2025-06-05 10:45", "10:45"},
		{"2025-06-05T13:45:10Z", "2025-06-05 10:45:10", "10:45:10"},
		{"2025-06-06T02:59:00Z", "2025-06-05 23:59", "23:59"},
		{"2025-06-06T13:45:00Z", "2025-06-06 10:45", "6 Jun 10:45"},
		{"2025-06-06T13:45:10Z", "2025-06-06 10:45:10", "6 Jun 10:45:10"},
	} {
		at := utc(t, c.at)
		if in, clock := at.In(halifax), at.Clock(halifax, base); in != c.in || clock != c.clock {
			t.Errorf("%s is shown %q and %q, want %q and %q", c.at, in, clock, c.in, c.clock)
		}
	}
}
