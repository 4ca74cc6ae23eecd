package report

import (
	"fmt"

	"ovenward/inventory"
	"ovenward/inventory/designation"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
)

var segregation = Report{Name: "segregation", Title: "segregation check", Over: APeriod,
	Questions: []string{
		"Is any oven holding stock that the rules keep out of it?",
		"Was any oven holding low-hydrogen rods together with another family, and when?",
		"What is in each oven?",
	},
	make: func(m *maker) ([]Part, error) {
		stays, err := m.app.Heated(m.ctx, m.From, m.To)
		if err != nil {
			return nil, err
		}
		list, err := m.housed(stays)
		if err != nil {
			return nil, err
		}
		barred, err := m.barred(list)
		return []Part{barred, m.together(list), m.contents(list)}, err
	}}

// housed is opened stock in a heated place for a time.
type housed struct {
	stockdb.Content
	bundle inventory.Bundle
	lot    inventory.Lot
	to     measure.Instant
}

// housed returns the opened stock that was in an oven in the period.
func (m *maker) housed(stays []stockdb.Content) (list []housed, err error) {
	for _, c := range stays {
		if c.Stay.Sealed || c.Stay.From >= m.To {
			continue
		}
		h := housed{Content: c, to: m.To}
		if c.Stay.To != 0 {
			h.to = min(h.to, c.Stay.To)
		}
		if h.bundle, err = m.app.Bundle(m.ctx, c.Bundle); err != nil {
			return nil, err
		}
		if h.lot, err = m.lot(h.bundle.Lot); err != nil {
			return nil, err
		}
		list = append(list, h)
	}
	return list, nil
}

// barred lists stock in a kind of place that a row keeps it out of.
func (m *maker) barred(list []housed) (Part, error) {
	p := Part{Name: "barred", Title: "where it must not be", Empty: "nothing was in an oven that the rules keep it out of " + m.period(), Columns: []Column{
		{Name: "place"}, {Name: "bundle"}, {Name: "lot"}, {Name: "class"}, {Name: "family"}, {Name: "from", Of: Instants}, {Name: "to", Of: Instants}, {Name: "why"},
		{Name: "rule"}, {Name: "source", Spare: 1}}}
	for _, h := range list {
		row, err := m.app.Bar(m.ctx, h.lot, h.bundle, h.Stay.Place.Kind)
		if err != nil {
			return p, err
		}
		if row != nil {
			p.add(word(h.Stay.Place.Name), word(h.Bundle), word(h.lot.Code), word(h.lot.Mark.Canonical), word(h.lot.Mark.Family), moment(h.Stay.From),
				momentOr(h.Stay.To, "still there"), word(row.Why), word(row.Row), word(row.Source))
		}
	}
	return p, nil
}

// together lists low-hydrogen rods that shared an oven with another family.
func (m *maker) together(list []housed) Part {
	p := Part{Name: "together", Title: "low-hydrogen rods beside another family", Empty: "no oven held low-hydrogen rods together with another family " + m.period(),
		Columns: []Column{{Name: "place"}, {Name: "bundle"}, {Name: "class"}, {Name: "beside"}, {Name: "other_class"}, {Name: "family", Head: "of family"},
			{Name: "from", Of: Instants}, {Name: "to", Of: Instants}, {Name: "lasted", Of: Spans}}}
	for _, a := range list {
		for _, b := range list {
			from, to := max(a.Stay.From, b.Stay.From, m.From), min(a.to, b.to)
			if a.lot.Mark.Family != designation.LowHydrogen || b.lot.Mark.Family == designation.LowHydrogen || a.Stay.Place != b.Stay.Place || from >= to {
				continue
			}
			p.add(word(a.Stay.Place.Name), word(a.Bundle), word(a.lot.Mark.Canonical), word(b.Bundle), word(b.lot.Mark.Canonical), word(b.lot.Mark.Family),
				moment(from), moment(to), span(to.Sub(from)))
		}
	}
	return p
}

// contents lists what is in each oven at the end of the period.
func (m *maker) contents(list []housed) Part {
	p := Part{Name: "contents", Title: "in the ovens at the end", Empty: "no opened stock was in an oven at " + m.when(m.To), Columns: []Column{
		{Name: "place"}, {Name: "kind"}, {Name: "bundle"}, {Name: "lot"}, {Name: "class"}, {Name: "size"}, {Name: "family"}, {Name: "since", Of: Instants}}}
	for _, h := range list {
		if h.Stay.To == 0 || h.Stay.To >= m.To {
			p.add(word(h.Stay.Place.Name), word(h.Stay.Place.Kind), word(h.Bundle), word(h.lot.Code), word(h.lot.Mark.Canonical), word(h.lot.Size),
				word(h.lot.Mark.Family), moment(h.Stay.From))
		}
	}
	if len(p.Rows) > 0 {
		p.note("%s.", fmt.Sprintf("%s in the ovens", count(len(p.Rows), "bundle")))
	}
	return p
}
