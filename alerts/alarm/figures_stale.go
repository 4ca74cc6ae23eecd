package alarm

import (
	"slices"

	"ovenward/inventory/measure"
)

// StaleAfter is how long an alarm stands before it is stale: what nobody has put
// right for a day is a state of the shop that its alarm no longer tells. Source:
// ISA-18.2, by published accounts of it.
const StaleAfter = measure.Day

// Stale reports whether an alarm that has stood without a break since an instant is
// stale at another.
func Stale(since, at measure.Instant) bool { return at.Sub(since) > StaleAfter }

// staleTime is time during which a tag stood without a break, or was stale.
type staleTime struct{ from, to measure.Instant }

// stale counts the tags that stood for more than a day without being set aside,
// and on which day there were most.
func (f *Figures) stale(alarms []Transition, s Span) {
	days := slices.Concat([]measure.Instant{s.From}, s.Midnights, []measure.Instant{s.To})
	perDay := make([]int, len(days)-1)
	by := map[Tag][]Transition{}
	for _, t := range alarms {
		by[t.Tag()] = append(by[t.Tag()], t)
	}
	for _, steps := range by {
		list := staleOf(steps, s)
		if len(list) > 0 {
			f.Stale++
		}
		for i := range perDay {
			on := func(p staleTime) bool { return p.from < days[i+1] && p.to > days[i] }
			if slices.ContainsFunc(list, on) {
				perDay[i]++
			}
		}
	}
	for i, n := range perDay {
		if n > f.StaleMost {
			f.StaleMost, f.StaleDay = n, days[i]
		}
	}
}

// staleOf returns when a tag was stale within a span.
func staleOf(steps []Transition, s Span) (list []staleTime) {
	var since measure.Instant
	active := false
	for i, t := range steps {
		switch {
		case t.Event == Clear:
			active = false
		case t.Event == Raise && !active:
			since, active = t.At, true
		}
		if !active || t.To.Aside() {
			continue
		}
		until := s.To
		if i+1 < len(steps) {
			until = min(until, steps[i+1].At)
		}
		if from := max(t.At, since.Add(StaleAfter), s.From); from < until {
			list = append(list, staleTime{from, until})
		}
	}
	return list
}
