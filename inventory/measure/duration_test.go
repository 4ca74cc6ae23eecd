package measure_test

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"ovenward/inventory/measure"
)

const (
	second = measure.Second
	minute = measure.Minute
	hour   = measure.Hour
)

func TestDurationsAreReadAsPeopleWriteThem(t *testing.T) {
	t.Parallel()
	checkReadings(t, measure.ParseDuration, []reading[measure.Duration]{
		{"4h", 4 * hour}, {"4 h", 4 * hour}, {"4 hours", 4 * hour}, {"1 hr", hour}, {"4H", 4 * hour},
		{"30 min", 30 * minute}, {"30m", 30 * minute}, {"1 minute", minute}, {"90 s", 90 * second}, {"2 sec", 2 * second},
		{"10 days", 240 * hour}, {"1 d", 24 * hour}, {"4h30m", 4*hour + 30*minute}, {"4 h 30 min", 4*hour + 30*minute},
		{"1 d 2 h 3 min 4 s", 26*hour + 3*minute + 4*second}, {"1/2 h", 30 * minute}, {"1 1/2 h", 90 * minute},
		{"2.5 h", 150 * minute}, {"2,5 h", 150 * minute}, {"½ h", 30 * minute}, {"1/3 s", 333_333},
		{"3:45", 3*hour + 45*minute}, {"0:30", 30 * minute}, {"3:45:10", 3*hour + 45*minute + 10*second},
		{"72:00", 72 * hour}, {"-0:30", -30 * minute}, {"-3:45:10", -3*hour - 45*minute - 10*second}, {"-4h", -4 * hour},
	})
	if measure.Day != 24*hour || hour != 60*minute || measure.Millisecond != 1000*measure.Microsecond {
		t.Error("the units do not divide each other")
	}
}

func TestDurationIsRefused(t *testing.T) {
	t.Parallel()
	checkFaults(t, "duration", measure.ParseDuration, faults{
		"": "no number", "h": "no number", "4": "no unit", "4h30": "no unit", "4 h 30": "no unit",
		"4 weeks": "unknown unit", "3:5": "not hours", "3:60": "not hours", "3:00:60": "not hours", "3:": "not hours",
		":30": "not hours", "3:45:10:1": "not hours", "--3:45": "not hours", "3:-45": "not hours", "+3:45": "not hours",
		"3:045": "not hours", "4h-30m": "unknown unit", "4h -30m": "unknown unit", "1,000 h": "may mean",
		"9999999999 h": "too large", "4000000000:00": "too large", "2562047788:01": "too large",
	})
}

// "-1h30m" was read as half an hour before, since only its first part was taken
// as negative.
func TestMinusIsThatOfTheWholeDuration(t *testing.T) {
	t.Parallel()
	checkReadings(t, measure.ParseDuration, []reading[measure.Duration]{
		{"-1h30m", -90 * minute}, {"- 3 h 45 min", -3*hour - 45*minute},
		{"-0h30m", -30 * minute}, {"\u22121h1s", -hour - second},
	})
}

// The parts fit, their sum does not.
func TestSumOfDurationsDoesNotWrap(t *testing.T) {
	t.Parallel()
	checkFaults(t, "duration", measure.ParseDuration, faults{
		"106000000 d 106000000 d": "too large", "-106000000 d 106000000 d": "too large",
	})
}

func TestDurationIsPrinted(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		d            measure.Duration
		clock, words string
	}{
		{0, "0:00", "0 s"}, {40 * second, "0:00:40", "40 s"}, {12 * minute, "0:12", "12 min"},
		{12*minute + 5*second, "0:12:05", "12 min 5 s"}, {3*hour + 45*minute, "3:45", "3 h 45 min"},
		{4 * hour, "4:00", "4 h"}, {4*hour + second, "4:00:01", "4 h 0 min 1 s"}, {100 * hour, "100:00", "100 h"},
		{-90 * minute, "-1:30", "-1 h 30 min"}, {second - 1, "0:00", "0 s"}, {-1, "0:00", "0 s"},
		{math.MaxInt64, "2562047788:00:54", "2562047788 h 0 min 54 s"},
		{math.MinInt64, "-2562047788:00:54", "-2562047788 h 0 min 54 s"}, // Words called itself for ever
	} {
		if c.d.String() != c.clock || c.d.Words() != c.words {
			t.Errorf("%d is printed %q and %q, want %q and %q", int64(c.d), c.d.String(), c.d.Words(), c.clock, c.words)
		}
	}
}

func TestPrintedDurationReadsBack(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		d := measure.Duration(rapid.Int64().Draw(t, "µs")) / second * second
		for _, text := range []string{d.String(), d.Words()} {
			if got, err := measure.ParseDuration(text); err != nil || got != d {
				t.Fatalf("%d prints as %s and reads as %d, %v", int64(d), text, int64(got), err)
			}
		}
	})
}

func TestDurationAsTheStandardLibrarys(t *testing.T) {
	t.Parallel()
	if got, want := (3*hour + 45*minute + 1).Std(), 3*time.Hour+45*time.Minute+time.Microsecond; got != want {
		t.Errorf("Std() = %v, want %v", got, want)
	}
}

func FuzzParseDuration(f *testing.F) {
	seed(f, "4h", "30 min", "10 days", "4h30m", "3:45", "3:45:10", "-1h30m", "1/3 s", "2562047788:00:54", "1 1/2 h")
	f.Fuzz(func(t *testing.T, s string) {
		d, err := measure.ParseDuration(s)
		if err != nil {
			refused(t, err, "duration", s, "")
			return
		}
		whole := d / second * second
		for _, text := range []string{d.String(), d.Words()} {
			if got, err := measure.ParseDuration(text); err != nil || got != whole {
				t.Fatalf("%q is %d, prints as %s and reads as %d, %v", s, int64(d), text, int64(got), err)
			}
		}
	})
}
