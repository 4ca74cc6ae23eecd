package main

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
	"ovenward/forecast/joint"
	"ovenward/inventory/sheet"
)

// print answers what to order and until when, then what to ask for and why, then
// what was left out.
func (a *buyAnswer) print(p *show.Printer) error {
	switch p.Format {
	case show.AsJSON:
		return p.JSON(a)
	case show.AsCSV:
		return p.Answer(a, a.sheet())
	case show.AsTable:
	}
	if err := a.headline(p); err != nil {
		return err
	}
	if err := p.Line(""); err != nil {
		return err
	}
	if err := p.Answer(a, a.table()); err != nil {
		return err
	}
	return a.footing(p)
}

func (a *buyAnswer) headline(p *show.Printer) error {
	late := 0
	for _, o := range a.Orders {
		if o.Late > 0 {
			late++
		}
	}
	lead, text := "ORDER     ", counted(len(a.Orders), "order", "orders")+", none of them late"
	switch {
	case len(a.Orders) == 0:
		lead, text = "NOTHING   ", "has to be ordered for the joints that can be computed"
	case late > 0:
		text = counted(len(a.Orders), "order", "orders") + ", of which late: " + fmt.Sprint(late)
	case a.Orders[0].OrderBy == "":
		text = counted(len(a.Orders), "order", "orders") + "; no lead time is set, so no day to order by is known"
	}
	if err := sentence(p, lead, text); err != nil {
		return err
	}
	if missing := a.missing(); missing != "" {
		return sentence(p, "MISSING   ", missing)
	}
	return nil
}

// table is the orders in short; what they ask for and why stands below it.
func (a *buyAnswer) table() show.Table {
	_, unit := heavy(0, a.look.Units)
	policy := "no policy is loaded (ovenward buy policy)"
	if a.Policy.Revision > 0 {
		policy = fmt.Sprintf("policy revision %d (%s)", a.Policy.Revision, a.Policy.File)
	}
	t := show.Table{Title: fmt.Sprintf("ORDERS, the late ones first; plan revision %d (%s), %s", a.Plan.Revision, a.Plan.File, policy),
		Head: []string{"no.", "order by", "item", nounOf(a.Orders, func(o orderAnswer) joint.Item { return o.item }), "packs", unit, "cost", "here by"}, Right: []int{0, 3, 4, 5, 6}, Spare: []int{6, 5},
		Empty: "Stock and what is on order cover the plan."}
	for i, o := range a.Orders {
		mass, _ := heavy(metalMass(o.Mass), a.look.Units)
		by := cmp.Or(o.OrderBy, "not known")
		if o.Late > 0 {
			by = fmt.Sprintf("LATE %d d", o.Late)
		}
		t.Add(fmt.Sprint(i+1), by, o.item.String(), app.ItemAmount(o.item, o.Pieces, a.look.Units), estimate(o.Packs), mass, money(o.Cost), o.HereBy)
	}
	return t
}

func money(x float64) string {
	if x == 0 {
		return ""
	}
	return fmt.Sprintf("%.2f", x)
}

func (a *buyAnswer) footing(p *show.Printer) error {
	var why, asked, onOrder, aside []string
	var asks []string // each once, with the numbers of its orders
	numbers := map[string][]string{}
	for i, o := range a.Orders {
		line := fmt.Sprintf("%d. %s: %s", i+1, o.item, o.Why)
		if o.Late > 0 {
			line += fmt.Sprintf("; LATE, it should have been ordered by %s: ordered today it can go out on %s", o.OrderBy, o.Ready)
		}
		if o.Outdated > 0 {
			line += fmt.Sprintf("; %s OF THAT RUNS OUT OF DATE before the plan needs it", app.ItemWords(o.item, o.Outdated, a.look.Units))
		}
		why = append(why, line+"; confidence: "+o.Confidence)
		text := o.asks()
		if o.Supplier != "" {
			text += "; from " + o.Supplier
		}
		if numbers[text] == nil {
			asks = append(asks, text)
		}
		numbers[text] = append(numbers[text], fmt.Sprint(i+1))
	}
	for _, text := range asks {
		asked = append(asked, strings.Join(numbers[text], ", ")+". "+text)
	}
	for _, o := range a.OnOrder {
		line := fmt.Sprintf("%s: %s, %s, due %s", o.Order, o.item, o.Quantity, o.Due)
		if o.Why != "" {
			line += ": NOT COUNTED, " + o.Why
		} else {
			line += ", " + app.ItemWords(o.item, o.Pieces, a.look.Units)
		}
		onOrder = append(onOrder, line)
	}
	for _, n := range a.NotCounted {
		aside = append(aside, fmt.Sprintf("%s: %s of lot %s: %s", n.item, app.ItemWords(n.item, n.Pieces, a.look.Units), strings.Join(n.Lots, ", "), n.Why))
	}
	for _, s := range []struct {
		heading string
		lines   []string
	}{{"WHY", why}, {"ASK FOR (lot class and schedule as known from memory: compare with your edition)", asked},
		{"ON ORDER", onOrder}, {"STOCK NOT COUNTED", aside}} {
		if err := section(p, s.heading, s.lines); err != nil {
			return err
		}
	}
	missing := planAnswer{NotComputed: a.NotComputed, Problems: a.Problems, RowsNotRead: a.Plan.RowsNotRead}
	if err := missing.sayMissing(p); err != nil {
		return err
	}
	return section(p, "NOTES", a.allNotes())
}

// allNotes are those of the items, each named, and then those of the plan.
func (a *buyAnswer) allNotes() []string {
	var notes []string
	for _, b := range a.look.Bought {
		for _, n := range b.Notes {
			if line := b.Item.String() + ": " + n; !slices.Contains(notes, line) {
				notes = append(notes, line)
			}
		}
	}
	return append(notes, a.Notes...)
}

// orderHead are the columns of a proposal in a sheet.
func orderHead() []string {
	return []string{"order by", "late days", "here by", "can go out", "supplier", "specification", "class", "size", "length", "product",
		"package", "rods", "packs", "rods in pack", "mass kg", "price of a rod", "cost", "currency", "lot class", "test schedule", "tests",
		"certificate", "results", "approvals", "test at most", "jobs", "first week", "last week", "out of date", "why", "confidence", "pack kg", "price of a kg"}
}

func (a *buyAnswer) orderRow(o orderAnswer) []any {
	length := ""
	if o.length > 0 {
		length = joint.SizeText(o.length)
	}
	rods, inPack, each := orEmpty(o.Pieces), orEmpty(o.InPack), orEmpty(o.Each)
	var packKg, kgPrice any
	if o.Unit != "" { // grams, which a buyer reads as kilograms
		rods, inPack, each = nil, nil, nil
		packKg, kgPrice = orEmpty(float64(o.InPack)/1000), orEmpty(rounded(o.Each*1000))
	}
	return []any{o.OrderBy, orEmpty(int64(o.Late)), o.HereBy, o.Ready, o.Supplier, o.Specification, o.Class, o.item.Size(), length,
		o.Product, o.Package, rods, orEmpty(o.Packs), inPack, orEmpty(rounded(o.Mass / 1000)), each, orEmpty(o.Cost), a.Currency,
		o.LotClass, o.Schedule, o.Tests, o.Certificate, o.Results, strings.Join(o.Approvals, ", "), o.MaxTestAge, strings.Join(o.Jobs, ", "),
		o.Week, o.Last, orEmpty(o.Outdated), o.Why, o.Confidence, packKg, kgPrice}
}

// orEmpty is a number, or an empty cell for none.
func orEmpty[N int64 | float64](n N) any {
	if n == 0 {
		return nil
	}
	return n
}

// sheet is the whole proposal as one table.
func (a *buyAnswer) sheet() show.Table {
	t := show.Table{Head: orderHead()}
	for _, o := range a.Orders {
		row := a.orderRow(o)
		cells := make([]string, len(row))
		for i, c := range row {
			if c != nil {
				cells[i] = fmt.Sprint(c)
			}
		}
		t.Rows = append(t.Rows, cells)
	}
	return t
}

// row is a week of an item in a sheet: in rods, or in kilograms.
func (i itemSupply) row(w weekSupply) []any {
	unit, of := "rods", func(n int64) any { return n }
	if i.Unit != "" {
		unit, of = "kg", func(n int64) any { return float64(n) / 1000 }
	}
	some := func(n int64) any {
		if n == 0 {
			return nil
		}
		return of(n)
	}
	return []any{i.Class, orEmpty(i.Diameter), i.Papers, w.Week, unit, of(w.Need), of(w.Usable), some(w.Expired), some(w.Short), of(w.Projected)}
}

// pages is the proposal as a workbook: the orders, the items week by week, and
// what was left out.
func (a *buyAnswer) pages() []sheet.Page {
	orders := sheet.Page{Name: "orders", Head: orderHead()}
	for _, o := range a.Orders {
		orders.Rows = append(orders.Rows, a.orderRow(o))
	}
	weeks := sheet.Page{Name: "weeks", Head: []string{"class", "size mm", "papers", "week", "unit", "need", "usable", "out of date", "short without orders", "left with orders"}}
	for _, i := range a.Items {
		for _, w := range i.Weeks {
			weeks.Rows = append(weeks.Rows, i.row(w))
		}
	}
	out := sheet.Page{Name: "left out", Head: []string{"what", "amount", "why"}}
	for _, n := range a.NotCounted {
		out.Rows = append(out.Rows, []any{n.item.String() + ", lot " + strings.Join(n.Lots, ", "), app.ItemWords(n.item, n.Pieces, a.look.Units), n.Why})
	}
	for _, n := range a.NotComputed {
		out.Rows = append(out.Rows, []any{"joint " + n.Joint + " of " + n.Job, nil, n.text})
	}
	for _, b := range a.Problems {
		out.Rows = append(out.Rows, []any{fmt.Sprintf("row %d of the plan", b.Row), nil, b.text})
	}
	return []sheet.Page{orders, weeks, out}
}
