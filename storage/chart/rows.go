package chart

import (
	"cmp"
	"slices"

	"ovenward/inventory/measure"
)

// rows puts temperatures on lines of text, 0 the lowest. Every limit has a line
// that temperatures on its wrong side do not reach.
type rows struct {
	n         int
	low, high measure.Temperature
	limits    []limitRow // by temperature
}

type limitRow struct {
	Limit
	row int
}

func (c Chart) rows(n int) rows {
	r := rows{n: n}
	r.low, r.high = c.spread()
	for _, l := range c.Limits {
		r.limits = append(r.limits, limitRow{Limit: l, row: r.even(l.At)})
	}
	slices.SortStableFunc(r.limits, func(a, b limitRow) int { return cmp.Compare(a.At, b.At) })
	r.part()
	return r
}

// even returns the line of a temperature if there were no limits.
func (r rows) even(t measure.Temperature) int {
	whole := r.high - r.low
	row := (2*(t-r.low)*measure.Temperature(r.n-1) + whole) / (2 * whole)
	return min(max(int(row), 0), r.n-1)
}

// part moves the limits' lines as far apart as temperatures between them need,
// and away from the edges.
func (r rows) part() {
	for i := range r.limits {
		r.limits[i].row = max(r.limits[i].row, 1)
		for j := range i {
			r.limits[i].row = max(r.limits[i].row, r.limits[j].row+between(r.limits[j].Limit, r.limits[i].Limit))
		}
	}
	for i := len(r.limits) - 1; i >= 0; i-- {
		r.limits[i].row = min(r.limits[i].row, r.n-2)
		for j := i + 1; j < len(r.limits); j++ {
			r.limits[i].row = min(r.limits[i].row, r.limits[j].row-between(r.limits[i].Limit, r.limits[j].Limit))
		}
	}
}

// between returns how many lines a higher limit needs to be above a lower one.
func between(lower, higher Limit) int {
	switch {
	case lower.At == higher.At:
		return 0
	case lower.Upper && !higher.Upper:
		return 2 // what lies between them is on the wrong side of both
	}
	return 1
}

// of returns the line of a temperature.
func (r rows) of(t measure.Temperature) int {
	row := r.even(t)
	for _, l := range r.limits {
		switch keeps := l.keeps(t); {
		case keeps && l.Upper:
			row = min(row, l.row)
		case keeps:
			row = max(row, l.row)
		case l.Upper:
			row = max(row, l.row+1)
		default:
			row = min(row, l.row-1)
		}
	}
	return row
}
