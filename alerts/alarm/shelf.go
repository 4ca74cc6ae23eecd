package alarm

import (
	"fmt"

	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// Shelved is a bundle in the crib with its last day: when the shop is warned of
// it and when it has passed.
type Shelved struct {
	Lot         inventory.Lot
	Known       measure.Instant // since when the day stands: the lot came, or the package was opened
	Gone        measure.Instant // zero while it is there
	Last        measure.Date
	First, Next measure.Instant // of the two warnings
	Over        measure.Instant // the end of the last day
}

// ShelfLife returns what began for some bundles by an instant and had not ceased
// by another: a condition for each lot and last day.
func ShelfLife(list []Shelved, from, at measure.Instant, words Words) []Condition {
	g := shelf{index: map[Key]int{}, words: words}
	for _, s := range list {
		for _, stage := range []struct {
			kind     Kind
			from, to measure.Instant
		}{{ShelfLifeNear, s.First, s.Next}, {ShelfLifeLast, s.Next, s.Over}, {Expired, s.Over, 0}} {
			since, until := max(stage.from, s.Known), ended(stage.to, s.Gone, at)
			if since > at || (until != 0 && (until <= since || until <= from)) || (stage.to != 0 && since >= stage.to) {
				continue
			}
			g.add(stage.kind, s, since, until)
		}
	}
	for i, n := range g.bundles {
		g.list[i].What += ", " + counted(n, "bundle", "bundles")
	}
	return g.list
}

// ended returns the first of two instants by another; zero is never.
func ended(a, b, at measure.Instant) measure.Instant {
	switch {
	case a == 0 || a > at:
		a = b
	case b != 0:
		a = min(a, b)
	}
	if a > at {
		return 0
	}
	return a
}

// shelf gathers the conditions of lots from those of their bundles. One stands
// as long as it does for any of them.
type shelf struct {
	list    []Condition
	bundles []int
	index   map[Key]int
	words   Words
}

func (g *shelf) add(k Kind, s Shelved, since, until measure.Instant) {
	c := g.condition(k, s)
	c.Kind, c.Subject, c.Since, c.Until = k, s.Lot.Code, since, until
	i, seen := g.index[c.Key()]
	if !seen {
		g.index[c.Key()] = len(g.list)
		g.list, g.bundles = append(g.list, c), append(g.bundles, 1)
		return
	}
	g.bundles[i]++
	if have := &g.list[i].Until; *have != 0 {
		*have = max(*have, until)
		if until == 0 {
			*have = 0
		}
	}
}

func (g *shelf) condition(k Kind, s Shelved) Condition {
	name := fmt.Sprintf("lot %s, %s %s", s.Lot.Code, s.Lot.Mark.Canonical, s.Lot.Size)
	if s.Lot.Size == "" {
		name = fmt.Sprintf("lot %s, %s", s.Lot.Code, s.Lot.Mark.Canonical)
	}
	if k == Expired {
		return Condition{Priority: Medium, What: fmt.Sprintf("%s was good until %s", name, s.Last),
			Consequence: "it may not be issued",
			Action:      "set it apart and mark it; QA scraps it, or extends it after a test: ovenward lot extend " + s.Lot.Code}
	}
	c := Condition{Priority: Low, Due: s.Over, What: fmt.Sprintf("%s is good until %s", name, s.Last),
		Consequence: "after that day it may not be issued",
		Action:      "issue it first, or have QA test it in time: ovenward lot extend " + s.Lot.Code}
	if k == ShelfLifeLast {
		c.Priority = Medium
	}
	return c
}
