package main

import (
	"fmt"
	"slices"
	"strings"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
	"ovenward/forecast/joint"
	"ovenward/forecast/metal"
	"ovenward/inventory/measure"
)

// print answers what to order, by when and how sure that is, then week by week,
// then what it rests on.
func (a *forecastAnswer) print(p *show.Printer) error {
	if p.Format != show.AsTable {
		return p.Answer(a, a.sheet())
	}
	if err := a.headline(p); err != nil {
		return err
	}
	tables := []show.Table{a.weekTable()}
	if a.Likely.Draws > 0 {
		tables = append(tables, a.Likely.table(a.look.Units))
	}
	if len(a.Short) > 0 {
		tables = append([]show.Table{a.orderTable()}, tables...)
	}
	if err := p.Line(""); err != nil {
		return err
	}
	if err := p.Answer(a, tables...); err != nil {
		return err
	}
	return a.footing(p)
}

// headline says in its first line which items run short, when and by how much,
// then how sure that is.
func (a *forecastAnswer) headline(p *show.Printer) error {
	var short []string
	for _, s := range a.Short {
		short = append(short, fmt.Sprintf("%s by %s in %s", s.item, app.ItemWords(s.item, s.Pieces, a.look.Units), s.Week))
	}
	lead, text := "SHORT     ", strings.Join(short, "; ")
	switch {
	case len(short) > 0:
	case len(a.look.Demand.Lines) > 0:
		lead, text = "COVERED   ", fmt.Sprintf("nothing runs short from %s to %s", a.From, a.To)
	default:
		lead, text = "NOTHING   ", fmt.Sprintf("is needed from %s to %s by the joints that can be computed", a.From, a.To)
	}
	if err := sentence(p, lead, text); err != nil {
		return err
	}
	if missing := a.missing(); missing != "" {
		if err := sentence(p, "MISSING   ", missing); err != nil {
			return err
		}
	}
	return sentence(p, "HOW SURE  ", a.sureness())
}

// missing says what of the plan is in no number.
func (a *forecastAnswer) missing() string {
	var parts []string
	if n := len(a.NotComputed); n > 0 {
		parts = append(parts, counted(n, "joint that cannot be computed", "joints that cannot be computed"))
	}
	if n := a.Plan.RowsNotRead; n > 0 {
		parts = append(parts, counted(n, "row that cannot be read", "rows that cannot be read"))
	}
	if len(parts) == 0 {
		return ""
	}
	return strings.Join(parts, " and ") + ", in no number: more is needed than is shown"
}

// sureness says how far the figures can be relied on.
func (a *forecastAnswer) sureness() string {
	all, memory := 0, 0
	seen := map[rowAnswer]bool{}
	for _, b := range a.Basis {
		for _, r := range b.Rows {
			if seen[r] {
				continue
			}
			seen[r] = true
			all++
			if r.Status == joint.Memory {
				memory++
			}
		}
	}
	text := "need and stock are of the joints as drawn, " + allowances(a.look.Allowances)
	if a.Likely.Draws > 0 {
		text += "; the likely need gives the range"
	} else {
		text += "; no range for so many lines of the plan unless --draws asks for it"
	}
	if memory > 0 {
		text += fmt.Sprintf("; %d of %d figures behind it are from memory", memory, all)
	}
	return text
}

func (a *forecastAnswer) orderTable() show.Table {
	_, unit := heavy(0, a.look.Units)
	t := show.Table{Title: "TO ORDER, at least; to be here, and released by QA, by the day", Right: []int{1, 2, 4},
		Head: []string{"item", a.noun(), unit, "here by", "short then", "week", "last week"}}
	for _, s := range a.Short {
		mass, _ := heavy(metalMass(s.Purchased), a.look.Units)
		t.Add(s.item.String(), a.amount(s.item, s.Total), mass, s.HereBy, a.amount(s.item, s.Pieces), s.Week, s.Last)
	}
	return t
}

func (a *forecastAnswer) weekTable() show.Table {
	_, unit := heavy(0, a.look.Units)
	t := show.Table{Right: []int{2, 3, 4, 5}, Head: []string{"week", "item", "need", unit, "usable", "left", "state"},
		Title: fmt.Sprintf("NEED AND STOCK, plan revision %d (%s), stock of %s", a.Plan.Revision, a.Plan.File,
			when(a.At, a.look.Zone)),
		Empty: "No joint that can be computed is planned for these weeks."}
	for _, w := range a.Weeks {
		mass, _ := heavy(metalMass(w.Purchased), a.look.Units)
		t.Add(w.Week, w.item.String(), a.amount(w.item, w.Pieces), mass, a.amount(w.item, w.Usable), a.amount(w.item, w.Left), w.state(a.look.Units))
	}
	return t
}

// amount prints so many pieces of an item.
func (a *forecastAnswer) amount(i joint.Item, n int64) string {
	return app.ItemAmount(i, n, a.look.Units)
}

// noun is what the plan's items are called at the head of a column: rods, or an
// amount where some are bought by mass and carry their unit.
func (a *forecastAnswer) noun() string {
	return nounOf(a.Weeks, func(w weekAnswer) joint.Item { return w.item })
}

// nounOf is what the items of a table are called at the head of a column.
func nounOf[T any](rows []T, item func(T) joint.Item) string {
	if slices.ContainsFunc(rows, func(r T) bool { return metal.ByMass(item(r).Class) }) {
		return "amount"
	}
	return "rods"
}

// sheet is the table for a spreadsheet: with what the weeks are likely to take.
func (a *forecastAnswer) sheet() show.Table {
	t := a.weekTable()
	t.Head = append(t.Head, "P50", "P90")
	for i, w := range a.Weeks {
		p50, p90 := "", ""
		for _, l := range a.Likely.Weeks {
			if l.Week == w.Week && l.item == w.item {
				p50, p90 = a.amount(l.item, l.P50), a.amount(l.item, l.P90)
			}
		}
		t.Rows[i] = append(t.Rows[i], p50, p90)
	}
	return t
}

// state says in words how an item stands in a week.
func (w weekAnswer) state(units measure.UnitSystem) string {
	say := func(n int64) string { return app.ItemAmount(w.item, n, units) }
	words := []string{"ok"}
	if w.Short > 0 {
		words[0] = "SHORT " + say(w.Short)
	}
	if w.Expired > 0 {
		words = append(words, say(w.Expired)+" out of date")
	}
	if w.LastWeek > 0 {
		words = append(words, say(w.LastWeek)+" in their last week")
	}
	return strings.Join(words, ", ")
}

// footing prints what is left out and what the figures rest on.
func (a *forecastAnswer) footing(p *show.Printer) error {
	if err := a.Likely.footing(p, a.look.Units); err != nil {
		return err
	}
	var aside []string
	for _, n := range a.NotCounted {
		aside = append(aside, fmt.Sprintf("%s: %s of lot %s: %s", n.item, app.ItemWords(n.item, n.Pieces, a.look.Units),
			strings.Join(n.Lots, ", "), n.Why))
	}
	if err := section(p, "STOCK NOT COUNTED", aside); err != nil {
		return err
	}
	missing := planAnswer{NotComputed: a.NotComputed, Problems: a.Problems, RowsNotRead: a.Plan.RowsNotRead}
	if err := missing.sayMissing(p); err != nil {
		return err
	}
	var bakes []string
	for _, b := range a.ToBake {
		what := " of the rods counted"
		if b.Unit != "" {
			what = " of what is counted"
		}
		bakes = append(bakes, b.item.String()+": "+a.amount(b.item, b.Pieces)+what)
	}
	if err := section(p, "TO BAKE before they go out, and counted because the rule set allows it", bakes); err != nil {
		return err
	}
	if err := section(p, "WELDERS, for the weeks above", a.workLines()); err != nil {
		return err
	}
	var basis []string
	for _, b := range a.Basis {
		basis = append(basis, b.text(a.look.Zone))
	}
	const legend = "RESTS ON (M from memory, confirm it; S one source; R receipt; * shop's own)"
	if err := section(p, legend, basis); err != nil {
		return err
	}
	return section(p, "NOTES", a.Notes)
}
