package alarm

import (
	"slices"

	"ovenward/inventory/measure"
)

// Window is the time in which alarms are counted for a peak and a flood.
const Window = 10 * measure.Minute

// A flood begins with more than FloodBegins alarms to an operator in a window, and
// is over when fewer than FloodEnds are in one. Source: ISA-18.2, as the records
// facts quote it.
const (
	FloodBegins = 10
	FloodEnds   = 5
)

// Floods is how often and how long alarms came faster than anybody follows.
type Floods struct {
	N     int
	Time  measure.Duration
	Share float64 // of the span
}

// rates counts what called by time.
func (f *Figures) rates(calls []measure.Instant, s Span) {
	slices.Sort(calls)
	f.Raised = len(calls)
	operators := max(1, s.Operators)
	if length := float64(s.Length()); length > 0 {
		each := float64(len(calls)) / float64(operators)
		f.PerDay = each * float64(measure.Day) / length
		f.PerHour = each * float64(measure.Hour) / length
		f.PerTen = each * float64(Window) / length
	}
	first := 0
	for i, t := range calls {
		for t.Sub(calls[first]) >= Window {
			first++
		}
		if n := i - first + 1; n > f.Peak {
			f.Peak, f.PeakFrom = n, calls[first]
		}
	}
	f.Flood = floods(calls, s, operators)
}

// floods follows the number in the window that ends at each instant.
func floods(calls []measure.Instant, s Span, operators int) (f Floods) {
	begins, ends := FloodBegins*operators, FloodEnds*operators
	since, on := measure.Instant(0), false
	over := func(i int) measure.Instant { // when fewer than ends are left of those before i
		return calls[i-ends].Add(Window)
	}
	for i, t := range calls {
		if on && over(i) < t {
			f.Time += over(i).Sub(since)
			on = false
		}
		if !on && i >= begins && t.Sub(calls[i-begins]) < Window {
			since, on = t, true
			f.N++
		}
	}
	if on {
		f.Time += min(over(len(calls)), s.To).Sub(since)
	}
	if s.Length() > 0 {
		f.Share = float64(f.Time) / float64(s.Length())
	}
	return f
}
