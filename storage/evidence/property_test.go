package evidence_test

import (
	"testing"

	"pgregory.net/rapid"

	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
)

// sensors draws one to three sensors with readings in whole minutes.
func sensors(t *rapid.T) [][]evidence.Reading {
	all := make([][]evidence.Reading, rapid.IntRange(1, 3).Draw(t, "sensors"))
	for i := range all {
		m := rapid.IntRange(0, 120).Draw(t, "first")
		for range rapid.IntRange(0, 30).Draw(t, "readings") {
			all[i] = append(all[i], read(m, rapid.SampledFrom([]int64{130, 120, 119, 150, 151, 90}).Draw(t, "temp")))
			m += rapid.SampledFrom([]int{40, 60, 61, 20, 150, 1}).Draw(t, "gap")
		}
	}
	return all
}

func place(all [][]evidence.Reading) *evidence.Place {
	var tracks []evidence.Track
	for _, readings := range all {
		tracks = append(tracks, evidence.NewTrack(readings, nil))
	}
	return evidence.NewPlace(tracks...)
}

var warm = evidence.Band{Min: measure.Celsius(120), Max: measure.Celsius(150), HasMax: true}

func TestSpansTileAndAgreeWithAnEvaluatorMinuteByMinute(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		all := sensors(t)
		from := rapid.IntRange(-30, 900).Draw(t, "from")
		to := from + rapid.IntRange(1, 600).Draw(t, "length")
		left := to + rapid.IntRange(0, 200).Draw(t, "left after")
		spans := of(place(all), warm, minute(from), minute(to), minute(left))

		next := minute(from)
		for i, s := range spans {
			if s.From != next || s.To <= s.From {
				t.Fatalf("span %d from %s to %s follows one that ended %s", i, s.From, s.To, next)
			}
			if i > 0 && s.Finding == spans[i-1].Finding && s.Reason == spans[i-1].Reason {
				t.Fatalf("span %d says the same as the one before: %s", i, s.Finding)
			}
			if (s.Reason != "") != (s.Finding == evidence.Unproven) {
				t.Fatalf("span %d is %s because %q", i, s.Finding, s.Reason)
			}
			next = s.To
			for m := s.From; m < s.To; m = m.Add(measure.Minute) {
				if want := together(all, m, minute(left)); s.Finding != want {
					t.Fatalf("%s at %s, want %s", s.Finding, m, want)
				}
			}
		}
		if next != minute(to) {
			t.Fatalf("the spans end at %s, want %s", next, minute(to))
		}
	})
}

// together is what all sensors show of one minute: cold before hot before in
// range before nothing.
func together(all [][]evidence.Reading, m, left measure.Instant) evidence.Finding {
	seen := map[evidence.Finding]bool{}
	for _, readings := range all {
		seen[naive(readings, m, left)] = true
	}
	for _, f := range []evidence.Finding{evidence.TooCold, evidence.TooHot, evidence.InRange} {
		if seen[f] {
			return f
		}
	}
	return evidence.Unproven
}

// naive judges one minute of one sensor by looking at every reading.
func naive(readings []evidence.Reading, m, left measure.Instant) evidence.Finding {
	var before, after *evidence.Reading
	for i := range readings {
		if readings[i].At <= m {
			before = &readings[i]
		} else if after == nil {
			after = &readings[i]
		}
	}
	if before == nil {
		return evidence.Unproven
	}
	low, high := before.Temp, before.Temp
	switch {
	case after != nil && after.At.Sub(before.At) <= measure.Hour:
		low, high = min(low, after.Temp), max(high, after.Temp)
	case left.Sub(before.At) > measure.Hour:
		return evidence.Unproven
	}
	switch {
	case low < warm.Min:
		return evidence.TooCold
	case high > warm.Max:
		return evidence.TooHot
	}
	return evidence.InRange
}

func TestPartsOfAStretchAreTheStretch(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		p := place(sensors(t))
		from := rapid.IntRange(0, 800).Draw(t, "from")
		cut := from + rapid.IntRange(0, 300).Draw(t, "cut")
		to := cut + rapid.IntRange(0, 300).Draw(t, "to")
		whole := of(p, warm, minute(from), minute(to), minute(to))
		parts := of(p, warm, minute(from), minute(cut), minute(to))
		parts = append(parts, of(p, warm, minute(cut), minute(to), minute(to))...)
		for m := minute(from); m < minute(to); m = m.Add(measure.Minute) {
			if a, b := at(whole, m), at(parts, m); a != b {
				t.Fatalf("at %s the whole says %s, the parts %s", m, a, b)
			}
		}
	})
}

func at(spans []evidence.Span, m measure.Instant) evidence.Finding {
	for _, s := range spans {
		if m < s.To {
			return s.Finding
		}
	}
	return -1
}
