package report

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"ovenward/cmd/internal/app"
	"ovenward/forecast/supply"
	"ovenward/inventory"
	"ovenward/inventory/measure"
)

var buyingDigest = Report{Name: "buying-digest", Title: "digest for purchasing", Over: AnInstant,
	Questions: []string{
		"What is to be ordered for the plan, and until when?",
		"Which deliveries are late, and what else is on order?",
		"What in the crib is expired or soon will be?",
	},
	make: func(m *maker) ([]Part, error) {
		found, err := m.app.Buy(m.ctx, app.ForecastQuery{At: m.At})
		ref, refused := errors.AsType[*inventory.Refusal](err)
		if err != nil && !refused {
			return nil, err
		}
		shelf, err := m.app.ShelfLife(m.ctx, m.At)
		if err != nil {
			return nil, err
		}
		orders, due := m.toOrder(found), m.onOrder(found)
		if refused {
			orders.Empty, due.Empty = ref.Why, ref.Why
		}
		return []Part{orders, due, m.expiring(shelf)}, nil
	}}

// toOrder lists the orders that the plan asks for, the late ones first.
func (m *maker) toOrder(found app.Purchase) Part {
	p := Part{Name: "orders", Title: "to order", Empty: "stock and what is on order cover the plan", Columns: []Column{
		{Name: "order_by"}, {Name: "late_days", Of: Numbers}, {Name: "item"}, {Name: "rods", Of: Numbers}, {Name: "packs", Of: Numbers}, {Name: "supplier"},
		{Name: "here_by"}, {Name: "jobs", Of: Names, Spare: 1}, {Name: "why", Spare: 2}}}
	type one struct {
		supply.Order
		of app.Bought
	}
	var all []one
	for _, b := range found.Bought {
		for _, o := range b.Orders {
			all = append(all, one{o, b})
		}
	}
	slices.SortStableFunc(all, func(a, b one) int { return supply.Late(a.Order, b.Order) })
	for _, o := range all {
		p.add(orBlank(string(o.OrderBy), "not known"), number(o.Late), word(o.Item.String()), number(o.Pieces), numberOr(o.Packs, "no pack is set"),
			orBlank(o.of.Terms.Supplier.Name, "none is set"), word(o.HereBy), names(o.of.Jobs), word(o.Why))
	}
	if n := len(found.Demand.NotComputed); n > 0 {
		p.note("Of %s nothing can be computed, so nothing is ordered: ovenward buy names them.", count(n, "joint"))
	}
	if len(all) > 0 {
		p.note("What to ask for and what the figures rest on: ovenward buy.")
	}
	return p
}

// onOrder lists the deliveries that are on order, those that should be here first.
func (m *maker) onOrder(found app.Purchase) Part {
	today := measure.DateOf(m.At, m.zone)
	p := Part{Name: "on_order", Title: "on order", Empty: "nothing is on order", Columns: []Column{
		{Name: "order"}, {Name: "supplier"}, {Name: "item"}, {Name: "quantity"}, {Name: "due"}, {Name: "state"}}}
	due := slices.Clone(found.Due)
	slices.SortStableFunc(due, func(a, b app.Due) int { return cmp.Compare(a.Due, b.Due) })
	for _, d := range due {
		state := "in time"
		switch {
		case d.Due < today:
			state = fmt.Sprintf("LATE by %s", count(d.Due.DaysUntil(today), "day"))
		case d.Why != "":
			state = "not counted: " + d.Why
		}
		p.add(word(d.Order), word(d.Supplier), word(d.Item.String()), word(d.Quantity.String()), word(d.Due), word(state))
	}
	return p
}

// numberOr is a number, or a word where there is none.
func numberOr(n int64, otherwise string) Cell {
	if n == 0 {
		return Blank(otherwise)
	}
	return number(n)
}
