package report

import (
	"cmp"
	"fmt"
	"maps"
	"slices"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
)

// stocked is what a lot's books say over a period. Amounts are rods, or a mass
// of weighed stock in micrograms.
type stocked struct {
	lot                                             inventory.Lot
	in, used, damaged, scrapped, missing, crib, out int64 // crib and out are at the end
	later                                           int64 // what the books gained since the end
}

// opening is what was there at the beginning, by the books.
func (s stocked) opening() int64 {
	return s.closing() - s.in + s.used + s.damaged + s.scrapped + s.missing
}

// closing is what was there at the end, in the crib and out.
func (s stocked) closing() int64 { return s.crib + s.out - s.later }

// books collects what happened to each lot.
type books struct {
	m    *maker
	lots map[string]*stocked
}

func (b *books) of(lot string) (*stocked, error) {
	if s, ok := b.lots[lot]; ok {
		return s, nil
	}
	l, err := b.m.lot(lot)
	s := &stocked{lot: l}
	b.lots[lot] = s
	return s, err
}

// lotBalance sets what came in and went out of each lot against what is there
// now. It walks back from the books of today, so that nothing older than the
// period is read.
func (m *maker) lotBalance() ([]Part, error) {
	b := &books{m: m, lots: map[string]*stocked{}}
	for _, step := range []func() error{b.live, b.receipts, b.slips, b.losses} {
		if err := step(); err != nil {
			return nil, err
		}
	}
	return []Part{
		b.part(true, "lots", "balance by lot, rods", "no lot of rods had any stock "+m.period()),
		b.part(false, "weighed", "balance by lot, wire and flux", "no wire or flux was in stock "+m.period()),
	}, nil
}

func (b *books) live() error {
	live, err := b.m.app.Live(b.m.ctx)
	if err != nil {
		return err
	}
	for _, x := range live {
		s, err := b.of(x.Lot)
		if err != nil {
			return err
		}
		n := x.Pieces + int64(x.Mass)
		if x.Slip != "" {
			s.out += n
		} else {
			s.crib += n
		}
	}
	return nil
}

// count adds an amount to a sum of the period, or to what came after it: gain
// says whether the books gained it.
func (b *books) count(lot string, at measure.Instant, n int64, gain bool, sum func(*stocked) *int64) error {
	s, err := b.of(lot)
	if err != nil || at < b.m.From {
		return err
	}
	if at < b.m.To {
		*sum(s) += n
		return nil
	}
	if gain {
		s.later += n
	} else {
		s.later -= n
	}
	return nil
}

func (b *books) receipts() error {
	facts, err := b.m.app.Happened(b.m.ctx, b.m.From, 0, "receive")
	if err != nil {
		return err
	}
	for _, f := range facts {
		e := f.Entry.(*inventory.Received)
		_, bundle, err := e.Stock()
		if err != nil {
			return err
		}
		if err := b.count(e.Lot, f.Fact.At, bundle.Pieces+int64(bundle.Mass), true, func(s *stocked) *int64 { return &s.in }); err != nil {
			return err
		}
	}
	return nil
}

func (b *books) slips() error {
	slips, err := b.m.app.SlipsIn(b.m.ctx, b.m.From, app.Always)
	if err != nil {
		return err
	}
	for _, s := range slips {
		if s.Closed == 0 {
			continue
		}
		used := s.Back.Used(s.Pieces) + int64(s.Mass-s.Back.UnusedMass)
		if err := b.count(s.Lot, s.Closed, used, false, func(s *stocked) *int64 { return &s.used }); err != nil {
			return err
		}
		if err := b.count(s.Lot, s.Closed, s.Back.Damaged+s.Back.Unidentified, false, func(s *stocked) *int64 { return &s.damaged }); err != nil {
			return err
		}
	}
	return nil
}

func (b *books) losses() error {
	losses, err := b.m.app.LossesIn(b.m.ctx, b.m.From, app.Always)
	if err != nil {
		return err
	}
	for _, l := range losses {
		n := l.Pieces + int64(l.Mass)
		sum := func(s *stocked) *int64 { return &s.scrapped }
		if l.Kind == "count" {
			sum = func(s *stocked) *int64 { return &s.missing }
		}
		if l.Kind == "scrap" || l.Kind == "count" {
			if err := b.count(l.Lot, l.At, n, false, sum); err != nil {
				return err
			}
		}
	}
	return nil
}

// part lists the lots of counted stock, or of weighed.
func (b *books) part(counted bool, name, title, empty string) Part {
	of, cell := Numbers, func(n int64) Cell { return number(n) }
	if !counted {
		of, cell = Masses, func(n int64) Cell { return mass(n) }
	}
	p := Part{Name: name, Title: title, Empty: empty, Columns: []Column{{Name: "owner"}, {Name: "lot"}, {Name: "class"}, {Name: "size"}, {Name: "opening", Of: of},
		{Name: "received", Of: of}, {Name: "used", Of: of}, {Name: "damaged", Head: "damaged, no mark", Of: of}, {Name: "scrapped", Of: of},
		{Name: "found_missing", Of: of}, {Name: "closing", Of: of}, {Name: "crib_now", Head: "in the crib now", Of: of}, {Name: "out_now", Head: "out now", Of: of}}}
	for _, s := range b.sorted() {
		if s.lot.Counted() != counted || (s.opening() == 0 && s.closing() == 0 && s.in == 0) {
			continue
		}
		row := []Cell{word(ownerOf(s.lot)), word(s.lot.Code), word(s.lot.Mark.Canonical), word(s.lot.Size)}
		for _, n := range []int64{s.opening(), s.in, s.used, s.damaged, s.scrapped, s.missing, s.closing(), s.crib, s.out} {
			row = append(row, cell(n))
		}
		p.add(row...)
	}
	if len(p.Rows) > 0 {
		p.note("Opening + received - used - damaged - scrapped - found missing = closing, in the crib and out together.")
	}
	return p
}

func (b *books) sorted() []*stocked {
	return slices.SortedFunc(maps.Values(b.lots), func(a, b *stocked) int {
		return cmp.Or(cmp.Compare(ownerOf(a.lot), ownerOf(b.lot)), cmp.Compare(a.lot.Code, b.lot.Code))
	})
}

// ownerOf is whose stock a lot is.
func ownerOf(l inventory.Lot) string { return cmp.Or(l.Owner, "own") }

// counts sets each physical count against the books.
func (m *maker) counts() (Part, error) {
	p := Part{Name: "counts", Title: "books and physical counts", Empty: "nothing was counted " + m.period(), Columns: []Column{
		{Name: "when", Of: Instants}, {Name: "bundle"}, {Name: "lot"}, {Name: "owner"}, {Name: "books"}, {Name: "counted"}, {Name: "missing"}, {Name: "by"}, {Name: "why"}}}
	facts, err := m.app.Happened(m.ctx, m.From, m.To, "count")
	if err != nil {
		return p, err
	}
	losses, err := m.app.LossesIn(m.ctx, m.From, m.To)
	if err != nil {
		return p, err
	}
	for _, f := range facts {
		if err := m.counted(&p, f, losses); err != nil {
			return p, err
		}
	}
	return p, nil
}

func (m *maker) counted(p *Part, f app.Recorded, losses []stockdb.Loss) error {
	e := f.Entry.(*inventory.Counted)
	b, err := m.app.Bundle(m.ctx, e.Bundle)
	if err != nil {
		return err
	}
	l, err := m.lot(b.Lot)
	if err != nil {
		return err
	}
	var missing stockdb.Loss
	for _, x := range losses {
		if x.Kind == "count" && x.Bundle == e.Bundle && x.At == f.Fact.At {
			missing = x
		}
	}
	p.add(moment(f.Fact.At), word(e.Bundle), word(b.Lot), word(ownerOf(l)), word(booked(e, missing)), word(orText(e.Pieces, e.Mass)),
		amount(missing.Pieces, missing.Mass), word(f.By()), orBlank(e.Why, "no reason given"))
	return nil
}

// booked is what the books said before a count.
func booked(e *inventory.Counted, missing stockdb.Loss) string {
	if weighed, err := measure.ParseMass(e.Mass); err == nil {
		return (weighed + missing.Mass).String()
	}
	return fmt.Sprint(int64(e.Pieces) + missing.Pieces)
}
