package main

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"ovenward/cmd/internal/show"
	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// columns of the summary, in the order of rank.
var summaryColumns = []string{"ready", "in the open", "in hold", "to bake", "discard", "sealed", "with QA", "no rule", "expired"}

// summary counts rods by class and size: what an attendant asks first is
// whether there is enough, not in which bundle. A customer's rods are no part of
// the shop's own balance.
func summary(list []stockAnswer) show.Table {
	type product struct{ class, size, owner string }
	rods := map[product]*[9]int64{}
	var order []product
	for _, s := range list {
		if s.Mass != "" {
			continue // weighed stock stands in the table below
		}
		p := product{s.Class, s.Size, s.Owner}
		if rods[p] == nil {
			rods[p] = new([9]int64)
			order = append(order, p)
		}
		rods[p][rank(s)] += s.Pieces
	}
	slices.SortFunc(order, func(a, b product) int {
		return cmp.Or(cmp.Compare(a.class, b.class), cmp.Compare(a.size, b.size), cmp.Compare(a.owner, b.owner))
	})
	t := show.Table{Head: []string{"rods of"}}
	var used []int
	for c, name := range summaryColumns {
		if slices.ContainsFunc(order, func(p product) bool { return rods[p][c] > 0 }) {
			used = append(used, c)
			t.Right = append(t.Right, len(t.Head))
			t.Head = append(t.Head, name)
		}
	}
	for _, p := range order {
		row := []string{p.class + " " + p.size + ofCustomer(p.owner)}
		for _, c := range used {
			n := ""
			if rods[p][c] > 0 {
				n = fmt.Sprint(rods[p][c])
			}
			row = append(row, n)
		}
		t.Add(row...)
	}
	return t
}

// ofCustomer says whose stock it is where it is not the shop's own.
func ofCustomer(owner string) string {
	if owner == "" {
		return ""
	}
	return " of " + owner
}

// gathered puts sealed packages of one lot in one place on one line: one is as
// good as the next.
func gathered(list []stockAnswer) []stockAnswer {
	type pile struct {
		lot, place string
		last       measure.Date
	}
	at := map[pile]int{}
	count := map[pile]int{}
	var out []stockAnswer
	for _, s := range list {
		key := pile{s.Lot, s.Place, s.LastDay}
		i, ok := at[key]
		if s.Verdict != inventory.Sealed || s.Mass != "" || s.State != string(inventory.Sealed) {
			out = append(out, s)
			continue
		}
		if !ok {
			at[key] = len(out)
			count[key] = 1
			out = append(out, s)
			continue
		}
		count[key]++
		out[i].Pieces += s.Pieces
		_, day, dated := strings.Cut(s.Why, "; ")
		out[i].Why = fmt.Sprintf("%d packages, to %s", count[key], s.Bundle)
		if dated {
			out[i].Why += "; " + day
		}
	}
	return out
}
