package supply

import (
	"cmp"
	"math"
	"slices"

	"ovenward/inventory/measure"
)

// Line is one want over the weeks of a plan.
type Line struct {
	Want
	Weeks  []Balance // one after the other, without a gap
	Spread []float64 // standard deviation of each week's need, in pieces; nil: not known
	// Draws are what each week may take, in pieces, run by run: the same place is
	// the same run in every week. Where they are given Spread is not looked at.
	Draws  [][]float64
	Policy Policy
	Today  measure.Date
	Write  func(pieces int64) string // how a number of pieces is printed; nil: as it is
}

// write prints a number of pieces.
func (l Line) write(pieces int64) string {
	if l.Write == nil {
		return say("%d", pieces)
	}
	return l.Write(pieces)
}

// EveryWeek puts a need of nothing into each week of a period in which a want
// has none, for as many wants as have any.
func EveryWeek(needs []Need, from, to measure.Week) []Need {
	pieces := map[Want]map[measure.Week]int64{}
	var wants []Want
	for _, n := range needs {
		if pieces[n.Want] == nil {
			pieces[n.Want] = map[measure.Week]int64{}
			wants = append(wants, n.Want)
		}
		pieces[n.Want][n.Week] += n.Pieces
	}
	slices.SortFunc(wants, Want.Compare)
	var all []Need
	for w := from; !to.Before(w); w = w.Next() {
		for _, want := range wants {
			all = append(all, Need{Want: want, Week: w, Pieces: pieces[want][w]})
		}
	}
	return all
}

// Lines parts balances by what is wanted, in the order of the wants.
func Lines(balances []Balance) []Line {
	byWant := map[Want]int{}
	var lines []Line
	for _, b := range balances {
		i, known := byWant[b.Want]
		if !known {
			i = len(lines)
			byWant[b.Want] = i
			lines = append(lines, Line{Want: b.Want})
		}
		lines[i].Weeks = append(lines[i].Weeks, b)
	}
	for _, l := range lines {
		slices.SortStableFunc(l.Weeks, func(a, b Balance) int { return cmp.Compare(a.Week.Monday(), b.Week.Monday()) })
	}
	slices.SortFunc(lines, func(a, b Line) int { return a.Want.Compare(b.Want) })
	return lines
}

// arrives returns the index of the first week for which an order placed on a
// day can be here and released; the number of weeks where that is after them
// all.
func (l Line) arrives(ordered measure.Date) int {
	ready := ordered.AddDays(l.Policy.toHand())
	for t, w := range l.Weeks {
		if w.Week.Monday() >= ready || t == 0 && l.Policy.toHand() == 0 {
			return t
		}
	}
	return len(l.Weeks)
}

// lastNeed returns the index of the last week that needs anything, below zero
// for none.
func (l Line) lastNeed() int {
	for t := len(l.Weeks) - 1; t >= 0; t-- {
		if l.Weeks[t].Pieces > 0 {
			return t
		}
	}
	return -1
}

// lead is the use of the weeks from the first need to the last, and the lead
// time in weeks.
func (l Line) lead() Lead {
	first := slices.IndexFunc(l.Weeks, func(b Balance) bool { return b.Pieces > 0 })
	if first < 0 {
		return Lead{}
	}
	n := float64(l.lastNeed() + 1 - first)
	out := Lead{Time: float64(l.Policy.toHand()) / 7, TimeSpread: l.Policy.LeadSpread / 7}
	square := 0.0
	for t := first; t <= l.lastNeed(); t++ {
		out.Use += float64(l.Weeks[t].Pieces) / n
		if t < len(l.Spread) {
			square += l.Spread[t] * l.Spread[t] / n
		}
	}
	out.UseSpread = math.Sqrt(square)
	return out
}

// Safety returns the safety stock that the policy's service asks for, in whole
// pieces. Without a lead time there is none.
func (l Line) Safety() int64 {
	if l.Policy.Service <= 0 || l.Policy.LeadDays == 0 {
		return 0
	}
	lead := l.lead()
	if l.Draws == nil {
		return max(0, ceil(lead.Safety(l.Policy.Service)))
	}
	beyond := l.beyond(max(1, int(math.Ceil(lead.Time))))
	late := NormalQuantile(l.Policy.Service) * lead.Use * lead.TimeSpread
	return max(0, ceil(math.Hypot(max(0, beyond), max(0, late))))
}

// beyond is by how much the need of so many weeks on end may exceed what is
// planned for them, at the policy's service and of those weeks where it is most.
func (l Line) beyond(weeks int) float64 {
	most := 0.0
	for end := range l.lastNeed() + 1 {
		from := max(0, end+1-weeks)
		planned := int64(0)
		for _, w := range l.Weeks[from : end+1] {
			planned += w.Pieces
		}
		most = max(most, Quantile(l.runs(from, end), l.Policy.Service)-float64(planned))
	}
	return most
}

// runs adds the draws of some weeks up, run by run.
func (l Line) runs(from, to int) []float64 {
	var sums []float64
	for t := from; t <= to && t < len(l.Draws); t++ {
		if sums == nil {
			sums = make([]float64, len(l.Draws[t]))
		}
		for i, x := range l.Draws[t] {
			sums[i] += x
		}
	}
	return sums
}

// position is what is left of the stock after each week, less what all weeks up
// to it lacked.
func (l Line) position() []int64 {
	out := make([]int64, len(l.Weeks))
	short := int64(0)
	for t, w := range l.Weeks {
		short += w.Short
		out[t] = w.Usable - w.Taken - short
	}
	return out
}

// kept is the safety stock of each week: none before an order placed today can
// be here, and none behind the last need.
func (l Line) kept() []int64 {
	out := make([]int64, len(l.Weeks))
	safety := l.Safety()
	for t := l.arrives(l.Today); t <= l.lastNeed(); t++ {
		out[t] = safety
	}
	return out
}

// net is what each week lacks, its safety stock included, beside the stock and
// what the weeks before it were given.
func (l Line) net() []int64 {
	out := make([]int64, len(l.Weeks))
	position, kept := l.position(), l.kept()
	given := int64(0)
	for t := range out {
		out[t] = max(0, kept[t]-position[t]-given)
		given += out[t]
	}
	return out
}

// ceil rounds up, but not for the last digits of floating arithmetic.
func ceil(x float64) int64 {
	const noise = 1e-9
	return int64(math.Ceil(x - noise*max(1, math.Abs(x))))
}
