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
	at              measure.Instant
	high            measure.Temperature // of all
	air, load       measure.Temperature // the lower ones of each position
	hasAir, hasLoad bool
}

// one is the reading of a point with readings of one position.
func (p point) one() measure.Temperature {
	if p.hasLoad {
		return p.load
	}
	return p.air
}

// low is the lowest reading of all.
func (p point) low() measure.Temperature {
	if p.hasAir && p.hasLoad {
		return min(p.air, p.load)
	}
	return p.one()
}

// points returns the readings of the run in order of time.
func (r Run) points() []point {
	n := 0
	for _, s := range r.Sensors {
		n += len(s.Readings)
	}
	all := make([]point, 0, n)
	for _, s := range r.Sensors {
		for _, x := range r.within(s) {
			p := point{at: x.At, high: x.Temp, air: x.Temp, hasAir: true}
			if s.Position == evidence.InLoad {
				p = point{at: x.At, high: x.Temp, load: x.Temp, hasLoad: true}
			}
			all = append(all, p)
		}
		for _, x := range r.within(evidence.Shown{Readings: s.Most}) {
			all = append(all, point{at: x.At, high: x.Temp})
		}
	}
	byInstant := func(a, b point) int { return cmp.Compare(a.at, b.at) }
	if !slices.IsSortedFunc(all, byInstant) {
		slices.SortStableFunc(all, byInstant)
	}
	return merge(all)
}

// within returns the readings of a sensor in the run.
func (r Run) within(s evidence.Shown) []evidence.Reading {
	if !slices.IsSortedFunc(s.Readings, byInstant) {
		s.Readings = slices.SortedFunc(slices.Values(s.Readings), byInstant)
	}
	before := func(x evidence.Reading, at measure.Instant) int { return cmp.Compare(x.At, at) }
	from, _ := slices.BinarySearchFunc(s.Readings, r.From, before)
	to := len(s.Readings)
	if r.To != 0 {
		to, _ = slices.BinarySearchFunc(s.Readings, r.To+1, before)
	}
	return s.Readings[from:max(from, to)]
}

func byInstant(a, b evidence.Reading) int { return cmp.Compare(a.At, b.At) }

// merge makes one point of those of one instant.
func merge(all []point) []point {
	out := all[:0]
	for _, p := range all {
		if n := len(out); n == 0 || out[n-1].at != p.at {
			out = append(out, p)
			continue
		}
		q := &out[len(out)-1]
		q.high = max(q.high, p.high)
		if p.hasAir && (!q.hasAir || p.air < q.air) {
			q.air, q.hasAir = p.air, true
		}
		if p.hasLoad && (!q.hasLoad || p.load < q.load) {
			q.load, q.hasLoad = p.load, true
		}
	}
	return out
}

// gap reports whether two readings are too far apart to prove anything.
func (j judge) gap(from, to measure.Instant) bool { return to.Sub(from) > j.MaxGap }

// peak returns the point with the highest reading, the earliest of several.
func (j judge) peak() point {
	return slices.MaxFunc(j.points, func(a, b point) int {
		return cmp.Or(cmp.Compare(a.high, b.high), cmp.Compare(b.at, a.at))
	})
}

// best returns the highest temperature that all sensors showed together which
// the soak is counted by; the lowest there is where none of them showed any.
func (j judge) best() measure.Temperature {
	best := measure.AbsoluteZero
	for _, p := range j.points {
		if temp, counts := j.counted(p, j.by); counts {
			best = max(best, temp)
		}
	}
	return best
}

// silence returns the longest time without a reading between two instants.
func silence(points []point, from, to measure.Instant) measure.Duration {
	gap, before := measure.Duration(0), from
	for _, p := range points {
		gap, before = max(gap, p.at.Sub(before)), p.at
	}
	return max(gap, to.Sub(before))
}
