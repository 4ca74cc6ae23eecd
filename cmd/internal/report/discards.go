package report

import (
	"cmp"
	"slices"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
)

var discards = Report{Name: "discards", Title: "rebake and discard register", Over: APeriod,
	Questions: []string{
		"What was thrown away, how much of it, why, and who did it?",
		"How much money was that, where the price is known?",
		"Was anything baked twice or more?",
	},
	make: func(m *maker) ([]Part, error) {
		facts, err := m.app.Happened(m.ctx, m.From, m.To, "scrap", "return")
		if err != nil {
			return nil, err
		}
		cost, err := m.prices()
		if err != nil {
			return nil, err
		}
		list, err := m.thrownAway(facts)
		if err != nil {
			return nil, err
		}
		register, err := m.register(list, cost)
		if err != nil {
			return nil, err
		}
		runs, err := m.app.Bakes(m.ctx, m.From, m.To, "")
		return []Part{register, byReason(list, register.Empty), bakedOften(runs, m.period())}, err
	}}

// thrown is what was thrown away by one fact, for one reason.
type thrown struct {
	app.Recorded
	of, lot string
	pieces  int64
	mass    measure.Mass
	why     string
}

// thrownAway lists what the facts threw away.
func (m *maker) thrownAway(facts []app.Recorded) (all []thrown, err error) {
	for _, f := range facts {
		list, err := m.thrownBy(f)
		if err != nil {
			return nil, err
		}
		all = append(all, list...)
	}
	return all, nil
}

func (m *maker) register(list []thrown, cost prices) (Part, error) {
	p := Part{Name: "discards", Title: "thrown away", Empty: "nothing was thrown away " + m.period(), Columns: []Column{
		{Name: "when", Of: Instants}, {Name: "of", Head: "bundle / slip"}, {Name: "lot"}, {Name: "class"}, {Name: "size"}, {Name: "amount"}, {Name: "why"},
		{Name: "judged"}, {Name: "by"}, {Name: "value", Of: Money}}}
	total := sums{}
	for _, x := range list {
		l, err := m.lot(x.lot)
		if err != nil {
			return p, err
		}
		p.add(moment(x.Fact.At), word(x.of), word(x.lot), word(l.Mark.Canonical), word(l.Size), amount(x.pieces, x.mass), word(x.why), judgedThen(x.Entry),
			word(x.By()), cost.cost(x.lot, x.pieces, x.mass, total))
	}
	if len(list) > 0 {
		p.note("Value thrown away: %s.", total)
	}
	return p, nil
}

// thrownBy is what a scrap, or a return of damaged or unidentified rods, threw
// away. How much all of a bundle was is asked of the books.
func (m *maker) thrownBy(f app.Recorded) (list []thrown, err error) {
	switch e := f.Entry.(type) {
	case *inventory.Scrapped:
		x := thrown{Recorded: f, of: e.Bundle, why: cmp.Or(e.Why, "no reason given")}
		b, err := m.app.Bundle(m.ctx, e.Bundle)
		if err != nil {
			return nil, err
		}
		x.lot = b.Lot
		x.pieces, x.mass, err = m.scrapped(f, x.of)
		return []thrown{x}, err
	case *inventory.Returned:
		if e.Damaged+e.Unidentified == 0 {
			return nil, nil
		}
		s, err := m.app.Slip(m.ctx, e.Slip, m.At)
		if err != nil {
			return nil, err
		}
		for _, c := range []struct {
			n   inventory.Count
			why string
		}{{e.Damaged, "damaged at return"}, {e.Unidentified, "without a readable mark at return"}} {
			if c.n > 0 {
				list = append(list, thrown{Recorded: f, of: e.Slip, lot: s.Slip.Lot, pieces: int64(c.n), why: c.why})
			}
		}
	}
	return list, nil
}

// scrapped returns how much a scrap took, by the books.
func (m *maker) scrapped(f app.Recorded, bundle string) (int64, measure.Mass, error) {
	losses, err := m.app.LossesIn(m.ctx, f.Fact.At, f.Fact.At+1)
	for _, l := range losses {
		if l.Bundle == bundle && l.Kind == "scrap" {
			return l.Pieces, l.Mass, err
		}
	}
	return 0, 0, err
}

func judgedThen(e inventory.Entry) Cell {
	switch e := e.(type) {
	case *inventory.Scrapped:
		if e.Judged != nil {
			return word(*e.Judged)
		}
	case *inventory.Returned:
		if e.Judged != nil {
			return word(e.Judged.Verdict)
		}
	}
	return Blank("not judged")
}

// lot returns a lot, which is read once.
func (m *maker) lot(code string) (inventory.Lot, error) {
	if l, ok := m.lots[code]; ok {
		return l, nil
	}
	l, err := m.app.Lot(m.ctx, code)
	if err != nil {
		return l, err
	}
	m.lots[code] = l
	return l, nil
}

// byReason adds up what was thrown away by its reason, the most rods first.
func byReason(list []thrown, empty string) Part {
	type sum struct {
		why    string
		times  int64
		pieces int64
		mass   measure.Mass
	}
	var all []sum
	for _, x := range list {
		i := slices.IndexFunc(all, func(s sum) bool { return s.why == x.why })
		if i < 0 {
			i = len(all)
			all = append(all, sum{why: x.why})
		}
		all[i].times++
		all[i].pieces += x.pieces
		all[i].mass += x.mass
	}
	slices.SortStableFunc(all, func(a, b sum) int { return cmp.Or(cmp.Compare(b.pieces, a.pieces), cmp.Compare(b.mass, a.mass)) })
	p := Part{Name: "reasons", Title: "by reason", Empty: empty, Columns: []Column{
		{Name: "why"}, {Name: "times", Of: Numbers}, {Name: "rods", Of: Numbers}, {Name: "weighed", Of: Masses}}}
	for _, s := range all {
		p.add(word(s.why), number(s.times), number(s.pieces), massOr(s.mass, ""))
	}
	return p
}
