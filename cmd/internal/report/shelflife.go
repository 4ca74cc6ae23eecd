package report

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"ovenward/cmd/internal/app"
	"ovenward/inventory/measure"
)

var shelfLife = Report{Name: "shelf-life", Title: "shelf-life list", Over: AnInstant,
	Questions: []string{
		"What is expired and still on the shelf?",
		"What expires within 30 days, and within 90?",
		"Of what stock is no date known?",
	},
	make: func(m *maker) ([]Part, error) {
		list, err := m.app.ShelfLife(m.ctx, m.At)
		if err != nil {
			return nil, err
		}
		return []Part{m.expiring(list), m.undated(list)}, nil
	}}

// The days ahead within which stock is listed.
const (
	soon  = 30
	later = 90
)

// expiring lists what is expired or soon will be, the oldest first.
func (m *maker) expiring(list []app.Dated) Part {
	p := Part{Name: "expiring", Title: "expired, or soon to be", Empty: fmt.Sprintf("nothing in the crib was expired at %s or expires within %d days of it", m.when(m.At), later),
		Columns: []Column{{Name: "state"}, {Name: "last_day"}, {Name: "days_left", Of: Numbers}, {Name: "bundle"}, {Name: "lot"}, {Name: "class"}, {Name: "size"},
			{Name: "amount"}, {Name: "package"}, {Name: "place"}, {Name: "made"}, {Name: "decided_by", Head: "by"}, {Name: "source", Spare: 1}}}
	today := measure.DateOf(m.At, m.zone)
	var counts [3]int
	slices.SortStableFunc(list, func(a, b app.Dated) int { return cmp.Compare(a.Last, b.Last) })
	for _, d := range list {
		if d.Last == "" {
			continue
		}
		left := daysBetween(today, d.Last)
		state, n := "within 90 days", 2
		switch {
		case left < 0:
			state, n = "EXPIRED", 0
		case left <= soon:
			state, n = "within 30 days", 1
		case left > later:
			continue
		}
		counts[n]++
		by, source := "the label", ""
		switch {
		case d.Row != nil:
			by, source = d.Set+"/"+d.Row.Row, d.Row.Source
		case d.Expiry.Extended:
			by, source = "QA", "test "+d.Lot.Extension+", before it was "+string(d.Expiry.Before)
		}
		p.add(word(state), word(d.Last), number(left), word(d.Bundle.Code), word(d.Lot.Code), word(d.Lot.Mark.Canonical), word(d.Lot.Size),
			amount(d.Bundle.Pieces, d.Bundle.Mass), word(d.Bundle.Package), word(d.Bundle.Place.Name), orBlank(string(d.Lot.Made), "not stated"), word(by), word(source))
	}
	p.note("%d expired, %d more within %d days, %d more within %d days, of %s in the crib. Stock may go out on its last day.",
		counts[0], counts[1], soon, counts[2], later, count(len(list), "bundle"))
	return p
}

// undated lists stock of which neither the label nor a rule gives a last day.
func (m *maker) undated(list []app.Dated) Part {
	p := Part{Name: "undated", Title: "no last day is known", Empty: "no stock without a last day was in the crib at " + m.when(m.At), Columns: []Column{
		{Name: "bundle"}, {Name: "lot"}, {Name: "class"}, {Name: "amount"}, {Name: "package"}, {Name: "place"}, {Name: "made"}}}
	for _, d := range list {
		if d.Last == "" {
			p.add(word(d.Bundle.Code), word(d.Lot.Code), word(d.Lot.Mark.Canonical), amount(d.Bundle.Pieces, d.Bundle.Mass), word(d.Bundle.Package),
				word(d.Bundle.Place.Name), orBlank(string(d.Lot.Made), "not stated"))
		}
	}
	return p
}

// daysBetween counts calendar days.
func daysBetween(a, b measure.Date) int64 {
	from, to := a.End(time.UTC), b.End(time.UTC)
	return int64(to.Sub(from) / measure.Day)
}
