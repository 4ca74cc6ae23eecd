package measure_test

import (
	"errors"
	"regexp"
	"testing"
	"time"

	"pgregory.net/rapid"

	"ovenward/inventory/measure"
)

// Changes of clock are from the tz database.
func TestInstantsAreReadOnTheSitesClock(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ zone, text, want string }{
		{"America/Halifax", "2025-06-05 07:00", "2025-06-05T10:00:00Z"},
		{"America/Halifax", "2025-01-05 07:00", "2025-01-05T11:00:00Z"},
		{"America/Halifax", " 2025-06-05T07:00:30 ", "2025-06-05T10:00:30Z"},
		{"America/Halifax", "2025-06-05 7:00", "2025-06-05T10:00:00Z"},
		{"America/Halifax", "2025-06-05 07:00:00.25", "2025-06-05T10:00:00.25Z"},
		{"America/Halifax", "2025-06-05T07:00:00Z", "2025-06-05T07:00:00Z"},
		{"America/Halifax", "2025-06-05T07:00:00+02:00", "2025-06-05T05:00:00Z"},
		{"America/Halifax", "2025-06-05 07:00 +02:00", "2025-06-05T05:00:00Z"},
		{"America/Halifax", "2025-06-05T07:00+02:00", "2025-06-05T05:00:00Z"},
		{"America/Halifax", "2025-06-05 07:00 ADT", "2025-06-05T10:00:00Z"},
		{"America/Halifax", "2025-06-05 07:00:15 adt", "2025-06-05T10:00:15Z"},
		// The hour before and the hour after one that happens twice.
		{"America/New_York", "2025-11-02 00:59:59", "2025-11-02T04:59:59Z"},
		{"America/New_York", "2025-11-02 02:00", "2025-11-02T07:00:00Z"},
		{"America/New_York", "2025-11-02 01:30 EDT", "2025-11-02T05:30:00Z"},
		{"America/New_York", "2025-11-02 01:30 EST", "2025-11-02T06:30:00Z"},
		{"America/New_York", "2025-11-02 01:30 -04:00", "2025-11-02T05:30:00Z"},
		{"America/New_York", "2025-11-02 01:30 -05:00", "2025-11-02T06:30:00Z"},
		// The edges of one that does not happen.
		{"America/New_York", "2025-03-09 01:59:59", "2025-03-09T06:59:59Z"},
		{"America/New_York", "2025-03-09 03:00", "2025-03-09T07:00:00Z"},
		// Lord Howe moves by half an hour, and its names are numbers.
		{"Australia/Lord_Howe", "2025-04-06 01:29", "2025-04-05T14:29:00Z"},
		{"Australia/Lord_Howe", "2025-04-06 01:45 +11", "2025-04-05T14:45:00Z"},
		{"Australia/Lord_Howe", "2025-04-06 01:45 +1030", "2025-04-05T15:15:00Z"},
		{"Australia/Lord_Howe", "2025-04-06 02:00", "2025-04-05T15:30:00Z"},
		{"America/Santiago", "2025-09-06 23:59:59", "2025-09-07T03:59:59Z"},
		{"America/Santiago", "2025-09-07 01:00", "2025-09-07T04:00:00Z"},
		{"Pacific/Apia", "2011-12-29 23:59", "2011-12-30T09:59:00Z"},
		{"Pacific/Apia", "2011-12-31 00:00", "2011-12-30T10:00:00Z"},
		{"Europe/Moscow", "2014-10-26 01:30 +04:00", "2014-10-25T21:30:00Z"},
		{"Europe/Dublin", "2025-10-26 01:30 IST", "2025-10-26T00:30:00Z"}, // summer is its standard time
	} {
		if got, err := measure.ParseInstant(c.text, zone(t, c.zone)); err != nil || got != utc(t, c.want) {
			t.Errorf("%q in %s is read as %s, %v, want %s", c.text, c.zone, got, err, c.want)
		}
	}
}

func TestTimeThatHappensTwiceIsAskedAbout(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ zone, text, first, second string }{
		{"America/New_York", "2025-11-02 01:30", "2025-11-02T05:30:00Z", "2025-11-02T06:30:00Z"},
		{"America/New_York", "2025-11-02 01:00:00", "2025-11-02T05:00:00Z", "2025-11-02T06:00:00Z"},
		{"America/New_York", "2025-11-02T01:59:59", "2025-11-02T05:59:59Z", "2025-11-02T06:59:59Z"},
		{"Australia/Lord_Howe", "2025-04-06 01:45", "2025-04-05T14:45:00Z", "2025-04-05T15:15:00Z"},
		{"America/Santiago", "2025-04-05 23:30", "2025-04-06T02:30:00Z", "2025-04-06T03:30:00Z"},
		{"Europe/Dublin", "2025-10-26 01:30", "2025-10-26T00:30:00Z", "2025-10-26T01:30:00Z"},
		{"Europe/Moscow", "2014-10-26 01:30", "2014-10-25T21:30:00Z", "2014-10-25T22:30:00Z"},
	} {
		z := zone(t, c.zone)
		_, err := measure.ParseInstant(c.text, z)
		e, ok := errors.AsType[*measure.AmbiguousTimeError](err)
		if !ok || e.First != utc(t, c.first) || e.Second != utc(t, c.second) || e.Zone != z {
			t.Errorf("%q in %s: error %v, want both %s and %s", c.text, c.zone, err, c.first, c.second)
			continue
		}
		checkAdvice(t, e)
	}
}

var quoted = regexp.MustCompile(`"([^"]+)"`)

// checkAdvice reads the two texts that the error says to write.
func checkAdvice(t testing.TB, e *measure.AmbiguousTimeError) {
	t.Helper()
	advice := quoted.FindAllStringSubmatch(e.Error(), -1)
	if len(advice) != 2 {
		t.Fatalf("%v: %d texts to write, want 2", e, len(advice))
	}
	for i, want := range []measure.Instant{e.First, e.Second} {
		if got, err := measure.ParseInstant(advice[i][1], e.Zone); err != nil || got != want {
			t.Errorf("%v\nthe text %q is read as %s, %v, want %s", e, advice[i][1], got, err, want)
		}
	}
}

func TestAmbiguousTimeErrorSaysHowToChoose(t *testing.T) {
	t.Parallel()
	_, err := measure.ParseInstant("2025-11-02 01:30", zone(t, "America/New_York"))
	want := `2025-11-02 01:30 happens twice in America/New_York: write "2025-11-02 01:30 EDT" for the first ` +
		`(05:30 UTC) or "2025-11-02 01:30 EST" for the second (06:30 UTC)`
	if err == nil || err.Error() != want {
		t.Errorf("got  %v\nwant %s", err, want)
	}
}

// In 2014 Moscow went back by an hour and was on MSK before and after; the
// earlier of the two was taken.
func TestAbbreviationThatDoesNotChooseIsNotGuessed(t *testing.T) {
	t.Parallel()
	_, err := measure.ParseInstant("2014-10-26 01:30 MSK", zone(t, "Europe/Moscow"))
	e, ok := errors.AsType[*measure.AmbiguousTimeError](err)
	if !ok || e.Second.Sub(e.First) != measure.Hour {
		t.Fatalf("error %v, want two instants an hour apart", err)
	}
	checkAdvice(t, e)
}

func TestTimeThatTheClockSkipsIsRefused(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ zone, text, early, late string }{
		{"America/New_York", "2025-03-09 02:30", "2025-03-09 01:30", "2025-03-09 03:30"},
		{"America/New_York", "2025-03-09 02:00", "2025-03-09 01:00", "2025-03-09 03:00"},
		{"Australia/Lord_Howe", "2025-10-05 02:15", "2025-10-05 01:45", "2025-10-05 02:45"},
		{"America/Santiago", "2025-09-07 00:00", "2025-09-06 23:00", "2025-09-07 01:00"},
		{"America/Santiago", "2025-09-07 00:30", "2025-09-06 23:30", "2025-09-07 01:30"},
		{"Pacific/Apia", "2011-12-30 12:00", "2011-12-29 12:00", "2011-12-31 12:00"},
	} {
		z := zone(t, c.zone)
		_, err := measure.ParseInstant(c.text, z)
		e, ok := errors.AsType[*measure.NoSuchTimeError](err)
		if !ok || e.After.In(z) != c.early || e.Before.In(z) != c.late {
			t.Errorf("%q in %s: error %v, want %s or %s", c.text, c.zone, err, c.early, c.late)
			continue
		}
		want := c.text + " does not exist in " + c.zone + ": the clocks went forward over it; write " +
			c.early + " or " + c.late
		if err.Error() != want {
			t.Errorf("got  %v\nwant %s", err, want)
		}
	}
}

func TestInstantIsRefused(t *testing.T) {
	t.Parallel()
	newYork := zone(t, "America/New_York")
	parse := func(s string) (measure.Instant, error) { return measure.ParseInstant(s, newYork) }
	checkFaults(t, "instant", parse, faults{
		"": "not a date", "07:00": "not a date", "2025-06-05": "not a date", "05/06/2025 07:00": "not a date",
		"2025-06-05 24:00": "not a date", "2025-06-05 07:60": "not a date", "2025-02-29 07:00": "not a date",
		"2025-06-05 07": "not a date", "1749105000": "not a date", "2025-06-05 07:00 EDT now": "not a date",
		"2025-06-05 07:00 EST": "EST is not the clock of America/New_York then",
		"2025-06-05 07:00 PDT": "PDT is not the clock", "2025-03-09 02:30 EST": "EST is not the clock",
		"2025-06-05 07:00 pm": "pm is not the clock",
	})
}

// Whatever a site's clock shows is read as that instant, or as one of two.
func TestShownInstantReadsBack(t *testing.T) {
	t.Parallel()
	from := utc(t, "2005-01-01T00:00:00Z")
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.SampledFrom(zones).Draw(t, "zone")
		z, err := time.LoadLocation(name)
		if err != nil {
			t.Fatal(err)
		}
		at := from.Add(measure.Duration(rapid.Int64Range(0, 25*365*24*60).Draw(t, "minutes")) * measure.Minute)
		got, err := measure.ParseInstant(at.In(z), z)
		if e, twice := errors.AsType[*measure.AmbiguousTimeError](err); twice {
			if at != e.First && at != e.Second {
				t.Fatalf("%s is shown as %s, read as %s or %s", at, at.In(z), e.First, e.Second)
			}
			return
		}
		if err != nil || got != at {
			t.Fatalf("%s is shown in %s as %s, read as %s, %v", at, name, at.In(z), got, err)
		}
	})
}

func TestPrintedInstantReadsBack(t *testing.T) {
	t.Parallel()
	first, last := utc(t, "0001-01-01T00:00:00Z"), utc(t, "9999-12-31T23:59:59Z")
	rapid.Check(t, func(t *rapid.T) {
		i := measure.Instant(rapid.Int64Range(int64(first), int64(last)).Draw(t, "µs"))
		if got, err := measure.ParseInstant(i.String(), time.UTC); err != nil || got != i {
			t.Fatalf("%d prints as %s and reads as %d, %v", i, i, got, err)
		}
	})
}

func FuzzParseInstant(f *testing.F) {
	newYork, lordHowe := zone(f, "America/New_York"), zone(f, "Australia/Lord_Howe")
	seed(f, "2025-06-05 07:00", "2025-11-02 01:30 EDT", "2025-11-02 01:30 -04:00", "2025-06-05T07:00:00Z",
		"2025-03-09 02:30", "2025-04-06 01:45 +11", "2025-06-05 07:00:00.25", "2025-11-02T01:30",
		"0000-01-01 00:00", "0000-01-01 0:00 0 ")
	f.Fuzz(func(t *testing.T, s string) {
		for _, z := range []*time.Location{newYork, lordHowe} {
			i, err := measure.ParseInstant(s, z)
			if e, ok := errors.AsType[*measure.AmbiguousTimeError](err); ok {
				if e.First >= e.Second {
					t.Fatalf("%v: the first is not before the second", e)
				}
				continue
			}
			if _, ok := errors.AsType[*measure.NoSuchTimeError](err); ok {
				continue
			}
			if err != nil {
				refused(t, err, "instant", s, "")
				continue
			}
			if i.Time().Year() < 0 || i.Time().Year() > 9999 {
				continue // beyond what RFC 3339 can write
			}
			if got, err := measure.ParseInstant(i.String(), z); err != nil || got != i {
				t.Fatalf("%q is %s, which reads as %s, %v", s, i, got, err)
			}
		}
	})
}
