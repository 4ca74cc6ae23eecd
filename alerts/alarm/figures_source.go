package alarm

import (
	"cmp"
	"slices"

	"ovenward/inventory/measure"
)

// ChatterSteps times within ChatterTime an alarm that chatters begins or ceases.
// Source: a common detector, no quoted rule of the standard.
const (
	ChatterSteps = 3
	ChatterTime  = measure.Minute
)

// source returns what an alarm comes from.
func (t Transition) source() Tag {
	if t.Kind.OfPlace() || t.Kind.OfCheck() {
		return t.Tag()
	}
	return Tag{Kind: t.Kind}
}

// most is how many sources are named.
const most = 10

// top returns the sources that called most and what share of all they made.
func top(sources map[Tag]int, raised int) (list []Source, together float64) {
	for t, n := range sources {
		list = append(list, Source{t, n, share(n, raised)})
	}
	slices.SortFunc(list, bySize)
	list = list[:min(most, len(list))]
	n := 0
	for _, s := range list {
		n += s.N
	}
	return list, share(n, raised)
}

func bySize(a, b Source) int {
	return cmp.Or(b.N-a.N, cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Subject, b.Subject))
}

// chattering returns the tags that began or ceased too often within a short time,
// with how often they did in the span.
func chattering(alarms []Transition, s Span) (list []Source) {
	turns := map[Tag][]measure.Instant{}
	all := 0
	for _, t := range alarms {
		if s.has(t.At) && (t.Event == Raise || t.Event == Clear) {
			turns[t.Tag()] = append(turns[t.Tag()], t.At)
			all++
		}
	}
	for tag, at := range turns {
		slices.Sort(at)
		for i := ChatterSteps - 1; i < len(at); i++ {
			if at[i].Sub(at[i-ChatterSteps+1]) <= ChatterTime {
				list = append(list, Source{tag, len(at), share(len(at), all)})
				break
			}
		}
	}
	slices.SortFunc(list, bySize)
	return list
}
