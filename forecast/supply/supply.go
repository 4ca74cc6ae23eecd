// Package supply sets the needs of coming weeks against stock that is used up
// and goes out of date.
package supply

import (
	"cmp"
	"slices"

	"ovenward/forecast/joint"
	"ovenward/inventory/measure"
)

// Want is an item with what is asked of its papers. Rods whose papers are not
// enough for one job may go out for another.
type Want struct {
	Item   joint.Item
	Papers string // in words; empty: any
}

// Compare orders wants by item and then by papers.
func (w Want) Compare(o Want) int {
	return cmp.Or(w.Item.Compare(o.Item), cmp.Compare(w.Papers, o.Papers))
}

// Need is what one week takes of one item.
type Need struct {
	Want
	Week   measure.Week
	Pieces int64
}

// Part is stock that goes out together: usable pieces of one bundle, or of a
// delivery that is due.
type Part struct {
	Pieces   int64
	FirstDay measure.Date // on which it can go out; empty: today
	LastDay  measure.Date // on which it may go out; empty where it has none
	Serves   []Want       // what it may go out for
}

// Balance is how one need stands against the stock that the needs before it
// have left.
type Balance struct {
	Need
	Usable  int64 // pieces that serve the item and are in date, before the need
	Expired int64 // pieces that served the item and ran out of date since its need before, or since the start
	Late    int64 // of Usable: pieces whose last day falls in the week
	Taken   int64 // pieces of Usable that the need takes
	Short   int64 // pieces that the week lacks
	Left    int64 // Usable less Taken, less all that this week and those before it lack
}

// RunDown runs the stock down week by week and returns a balance for each need,
// in the order of needs, which must be that of their weeks.
//
// The parts are used up in the order given, that in which the window hands them
// out. In each week the items that the fewest parts serve are served first.
// Nothing is counted for two items. A part counts in the week of its last day
// and in no later one, and from the first week that does not begin before its
// first day.
func RunDown(needs []Need, parts []Part) []Balance {
	r := run{parts: parts, left: make([]int64, len(parts)),
		serving: map[Want][]int{}, lacks: map[Want]int64{}, seen: map[Want]measure.Date{}}
	for i, p := range parts {
		r.left[i] = p.Pieces
		for _, w := range p.Serves {
			r.serving[w] = append(r.serving[w], i)
		}
	}
	balances := make([]Balance, len(needs))
	for _, i := range r.order(needs) {
		balances[i] = r.meet(needs[i])
	}
	return balances
}

// run is the state of the stock between two needs.
type run struct {
	parts   []Part
	left    []int64        // of each part
	serving map[Want][]int // the parts, in their order
	lacks   map[Want]int64
	seen    map[Want]measure.Date // Monday of the need before
}

// order returns the indices of the needs by week, then by how few parts serve
// the item.
func (r *run) order(needs []Need) []int {
	order := make([]int, len(needs))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		x, y := needs[a], needs[b]
		return cmp.Or(cmp.Compare(x.Week.Year, y.Week.Year), cmp.Compare(x.Week.Number, y.Week.Number),
			cmp.Compare(len(r.serving[x.Want]), len(r.serving[y.Want])))
	})
	return order
}

// meet takes what a need takes.
func (r *run) meet(n Need) Balance {
	b := Balance{Need: n}
	monday, before := n.Week.Monday(), r.seen[n.Want]
	next := monday.AddDays(7)
	for _, i := range r.serving[n.Want] {
		switch p := r.parts[i]; {
		case p.FirstDay > monday:
		case p.LastDay == "" || p.LastDay >= monday:
			b.Usable += r.left[i]
			if p.LastDay != "" && p.LastDay < next {
				b.Late += r.left[i]
			}
			took := min(n.Pieces-b.Taken, r.left[i])
			b.Taken += took
			r.left[i] -= took
		case p.LastDay >= before:
			b.Expired += r.left[i]
		}
	}
	b.Short = n.Pieces - b.Taken
	r.lacks[n.Want] += b.Short
	b.Left = b.Usable - b.Taken - r.lacks[n.Want]
	r.seen[n.Want] = monday
	return b
}
