package rules

import (
	"fmt"
	"math"
	"strings"

	"ovenward/inventory/measure"
)

// WindowError reports bake rows that no bake can keep at once.
type WindowError struct {
	A, B BakeRow // A may be what several rows came to
	Why  string  // what they have not in common
}

// Error names both rows with their windows.
func (e *WindowError) Error() string {
	return fmt.Sprintf("no bake keeps both row %s (%s) and row %s (%s): %s; QA asks the maker for a recipe inside the code's",
		e.A.Row, e.A.Window(), e.B.Row, e.B.Window(), e.Why)
}

// Intersect returns the recipe that keeps both rows, such as the code's and the
// maker's: the narrower range, the longer soak and pre-soak, the shorter
// longest soak, the lower pre-soak temperature, the slower ramp, the later
// start of the clock. It speaks of the stock that a matches, with a's authority;
// its name and source are both rows', its status that of the less known. How
// often rods may be baked is no part of it: Ruling.BakeLimits has each row's.
// The error is a *WindowError when no bake can keep both.
func Intersect(a, b BakeRow) (BakeRow, error) {
	w := a
	w.Row, w.Source, w.Status = a.Row+"+"+b.Row, both(a.Source, b.Source), lessKnown(a.Status, b.Status)
	w.Note = both(a.Note, b.Note)
	if b.Min.Temperature > a.Min.Temperature {
		w.Min = b.Min
	}
	if b.Max.Given() && (!a.Max.Given() || b.Max.Temperature < a.Max.Temperature) {
		w.Max = b.Max
	}
	w.Soak, w.Presoak = max(a.Soak, b.Soak), max(a.Presoak, b.Presoak)
	w.PresoakPercent = smaller(a.PresoakPercent, b.PresoakPercent)
	if b.ClockFrom.order() > a.ClockFrom.order() {
		w.ClockFrom = b.ClockFrom
	}
	w.keepShort(a, b)
	if b.RampMax.Given() && (!a.RampMax.Given() || b.RampMax.PerHour < a.RampMax.PerHour) {
		w.RampMax = b.RampMax
	}
	w.RampOver = smaller(a.RampOver, b.RampOver) // the same rate over a shorter time asks more
	w.MaxLayers, w.MaxDepth = smaller(a.MaxLayers, b.MaxLayers), smaller(a.MaxDepth, b.MaxDepth)
	w.MaxBakes, w.FirstCounts, w.MaxTotal = nil, nil, 0
	switch {
	case w.Max.Given() && w.Min.Temperature > w.Max.Temperature:
		return BakeRow{}, &WindowError{A: a, B: b, Why: "no temperature in common"}
	case w.Soak > longestSoak(w.SoakMax) || w.Soak > longestSoak(w.OvenSoakMax):
		return BakeRow{}, &WindowError{A: a, B: b, Why: "no length of soak in common"}
	}
	return w, nil
}

// keepShort sets the longest soaks, each by the clock that its row counts by.
func (r *BakeRow) keepShort(a, b BakeRow) {
	ovenA, loadA := a.soakMax()
	ovenB, loadB := b.soakMax()
	r.OvenSoakMax, r.SoakMax = smaller(ovenA, ovenB), smaller(loadA, loadB)
	if r.ClockFrom == FromOven {
		r.OvenSoakMax, r.SoakMax = 0, r.OvenSoakMax
	}
}

// soakMax returns the longest soak counted from the oven, and from the load.
func (r BakeRow) soakMax() (oven, load measure.Duration) {
	if r.ClockFrom == FromOven {
		return r.SoakMax, 0
	}
	return r.OvenSoakMax, r.SoakMax
}

// longestSoak is a limit as a time; zero is none.
func longestSoak(limit measure.Duration) measure.Duration {
	if limit == 0 {
		return math.MaxInt64
	}
	return limit
}

// both joins two texts that say different things.
func both(a, b string) string {
	switch {
	case a == "" || a == b:
		return b
	case b == "" || strings.Contains(a, b):
		return a
	}
	return a + "; " + b
}

// smaller returns the smaller limit; zero is none.
func smaller[T ~int64](a, b T) T {
	if a == 0 || b == 0 {
		return max(a, b)
	}
	return min(a, b)
}

func lessKnown(a, b Status) Status {
	for _, s := range []Status{Memory, SingleSource, Shop} {
		if a == s || b == s {
			return s
		}
	}
	return Confirmed
}
