package air_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"ovenward/inventory/measure"
	"ovenward/storage/air"
)

func minute(n int64) measure.Instant { return measure.Instant(n * int64(measure.Minute)) }

// humid calls air above 60 % outside.
func humid(a air.Air) string {
	if a.RH > 60*measure.Percent {
		return a.RH.String()
	}
	return ""
}

func log(readings ...int64) *air.Log {
	var list []air.Observation
	for i := 0; i < len(readings); i += 2 {
		list = append(list, air.Observation{At: minute(readings[i]), Air: of(200, readings[i+1])})
	}
	return air.NewLog(list)
}

// TestBetweenTwoReadingsBothSpeak: an hour is the longest gap; 55 % is within,
// 65 % outside.
func TestBetweenTwoReadingsBothSpeak(t *testing.T) {
	t.Parallel()
	span := func(from, to int64, f air.Finding, why string) air.Span {
		return air.Span{From: minute(from), To: minute(to), Finding: f, Why: why}
	}
	for name, row := range map[string]struct {
		log            *air.Log
		from, to, left int64
		want           []air.Span
	}{
		"no log":               {nil, 0, 30, 30, []air.Span{span(0, 30, air.Unknown, "")}},
		"before the first":     {log(20, 55), 0, 30, 30, []air.Span{span(0, 20, air.Unknown, ""), span(20, 30, air.Within, "")}},
		"one outside of two":   {log(0, 55, 60, 65), 0, 60, 60, []air.Span{span(0, 60, air.Outside, "65 %")}},
		"gap":                  {log(0, 55, 61, 55), 0, 70, 70, []air.Span{span(0, 61, air.Unknown, ""), span(61, 70, air.Within, "")}},
		"gap of just the hour": {log(0, 55, 60, 55), 0, 60, 60, []air.Span{span(0, 60, air.Within, "")}},
		"last speaks alone":    {log(0, 55), 0, 60, 60, []air.Span{span(0, 60, air.Within, "")}},
		"last is too old":      {log(0, 55), 0, 61, 61, []air.Span{span(0, 61, air.Unknown, "")}},
		"left later":           {log(0, 55), 0, 30, 61, []air.Span{span(0, 30, air.Unknown, "")}},
		"back within":          {log(0, 65, 60, 55, 120, 55), 0, 120, 120, []air.Span{span(0, 60, air.Outside, "65 %"), span(60, 120, air.Within, "")}},
	} {
		got := row.log.Judge(measure.Hour, minute(row.from), minute(row.to), minute(row.left), humid)
		if diff := cmp.Diff(row.want, got); diff != "" {
			t.Errorf("%s: (-want +got)\n%s", name, diff)
		}
	}
}

func TestSpansOfAirTileTheTimeAndFewerReadingsProveNoMore(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		var list []air.Observation
		at := int64(0)
		for range rapid.IntRange(0, 12).Draw(t, "readings") {
			at += rapid.Int64Range(1, 90).Draw(t, "after")
			list = append(list, air.Observation{At: minute(at), Air: of(200, rapid.Int64Range(50, 70).Draw(t, "RH"))})
		}
		l := air.NewLog(list)
		to := minute(rapid.Int64Range(1, 900).Draw(t, "to"))
		spans := l.Judge(measure.Hour, 0, to, to, humid)
		next := measure.Instant(0)
		for i, s := range spans {
			if s.From != next || s.To <= s.From || (i > 0 && spans[i-1].Finding == s.Finding) {
				t.Fatalf("span %d of %v does not follow the one before", i, spans)
			}
			next = s.To
		}
		if next != to {
			t.Fatalf("spans end at %s, want %s", next, to)
		}
		if len(list) == 0 {
			return
		}
		gone := rapid.IntRange(0, len(list)-1).Draw(t, "left out")
		fewer := air.NewLog(append(append([]air.Observation{}, list[:gone]...), list[gone+1:]...))
		if a, b := within(fewer, to), within(l, to); humid(list[gone].Air) == "" && a > b {
			t.Fatalf("without one good reading %s are within the limits, with it %s", a, b)
		}
	})
}

func within(l *air.Log, to measure.Instant) (sum measure.Duration) {
	for _, s := range l.Judge(measure.Hour, 0, to, to, humid) {
		if s.Finding == air.Within {
			sum += s.To.Sub(s.From)
		}
	}
	return sum
}

// TestOfTwoReadingsAtOneInstantTheLastCounts: it puts the first right.
func TestOfTwoReadingsAtOneInstantTheLastCounts(t *testing.T) {
	t.Parallel()
	last, ok := log(0, 65, 0, 55).Last(minute(1))
	if !ok || last.Air.RH != 55*measure.Percent {
		t.Errorf("Last() = %v, %t, want 55 %%", last, ok)
	}
	if _, ok := log(5, 55).Last(minute(4)); ok {
		t.Error("a reading speaks before it was taken")
	}
}
