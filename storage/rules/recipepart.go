package rules

import (
	"fmt"

	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// RecipePart is one thing that a recipe asks, with the row that asks it.
type RecipePart struct {
	What string // "soak"
	Says string // "2 h"
	Row  *BakeRow
}

// part is one thing that a row may ask; it says nothing where the row does not.
type part struct {
	what string
	says func(BakeRow) string
}

var parts = []part{
	{"at least", func(r BakeRow) string { return givenTemp(r.Min) }},
	{"at most", func(r BakeRow) string { return givenTemp(r.Max) }},
	{"pre-soak", func(r BakeRow) string { return givenTime(r.Presoak) }},
	{"pre-soak at most", func(r BakeRow) string { return positive(r.PresoakPercent, "%d %% of the chosen temperature") }},
	{"rise at most", func(r BakeRow) string { return r.RampMax.String() }},
	{"soak", func(r BakeRow) string { return givenTime(r.Soak) }},
	{"soak at most", func(r BakeRow) string {
		_, load := r.soakMax()
		return givenTime(load)
	}},
	{"soak at most, from the oven", func(r BakeRow) string {
		oven, _ := r.soakMax()
		return givenTime(oven)
	}},
	{"counted from", func(r BakeRow) string { return string(r.ClockFrom) }},
	{"layers at most", func(r BakeRow) string { return positive(r.MaxLayers, "%d") }},
	{"depth at most", func(r BakeRow) string {
		if r.MaxDepth == 0 {
			return ""
		}
		return r.MaxDepth.String()
	}},
}

func givenTemp(t Temp) string {
	if !t.Given() {
		return ""
	}
	return t.String()
}

func givenTime(d measure.Duration) string {
	if d == 0 {
		return ""
	}
	return d.Words()
}

func positive(n int64, form string) string {
	if n == 0 {
		return ""
	}
	return fmt.Sprintf(form, n)
}

// Parts returns what a load's recipe asks, each with the row that it comes from:
// of rows that ask the same, the first in the order of their authorities. The
// error is that of For; there are no parts where no row speaks of the stock.
func (r Recipe) Parts(o inventory.BakeOrder) ([]RecipePart, error) {
	whole, err := r.For(o)
	if whole == nil || err != nil {
		return nil, err
	}
	var rows []*BakeRow
	for _, a := range authorities {
		row, err := r.of(a, o.Depth)
		if err != nil {
			return nil, err
		}
		if row != nil {
			rows = append(rows, row)
		}
	}
	var all []RecipePart
	for _, p := range parts {
		says := p.says(*whole)
		for _, row := range rows {
			if says != "" && p.says(*row) == says {
				all = append(all, RecipePart{What: p.what, Says: says, Row: row})
				break
			}
		}
	}
	return all, nil
}
