package bake

import (
	"cmp"
	"slices"

	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
)

// point is what the oven's sensors showed at one instant. Where they differ the
// lower one applies to a minimum and the higher one to a maximum.
type point struct {
	at        measure.Instant
	low, high measure.Temperature
}

// points returns the readings of the run in order of time.
func (r Run) points() []point {
	readings := r.Readings
	byInstant := func(a, b evidence.Reading) int { return cmp.Compare(a.At, b.At) }
	if !slices.IsSortedFunc(readings, byInstant) {
		readings = slices.SortedFunc(slices.Values(readings), byInstant)
	}
	out := make([]point, 0, len(readings))
	for _, x := range readings {
		if x.At < r.From || (r.To != 0 && x.At > r.To) {
			continue
		}
		if n := len(out); n > 0 && out[n-1].at == x.At {
			out[n-1].low, out[n-1].high = min(out[n-1].low, x.Temp), max(out[n-1].high, x.Temp)
			continue
		}
		out = append(out, point{at: x.At, low: x.Temp, high: x.Temp})
	}
	return out
}

// gap reports whether two readings are too far apart to prove anything.
func (j judge) gap(from, to measure.Instant) bool { return to.Sub(from) > j.MaxGap }

// peak returns the highest reading.
func (j judge) peak() measure.Temperature {
	return slices.MaxFunc(j.points, func(a, b point) int { return cmp.Compare(a.high, b.high) }).high
}

// best returns the highest temperature that all sensors showed together.
func (j judge) best() measure.Temperature {
	return slices.MaxFunc(j.points, func(a, b point) int { return cmp.Compare(a.low, b.low) }).low
}

// silence returns the longest time without a reading between two instants.
func silence(points []point, from, to measure.Instant) measure.Duration {
	gap, before := measure.Duration(0), from
	for _, p := range points {
		gap, before = max(gap, p.at.Sub(before)), p.at
	}
	return max(gap, to.Sub(before))
}
