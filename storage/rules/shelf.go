package rules

import "ovenward/inventory/measure"

// Basis is the day that a shelf life is counted from.
type Basis string

// The bases. From the day of opening it is the life of an opened package; from
// the day of receipt, the time in store after which it is inspected again.
const (
	FromMade     Basis = "made"
	FromReceived Basis = "received"
	FromOpened   Basis = "opened"
)

// ShelfLifeRow limits the age of stock. Past it QA may extend it after a test.
type ShelfLifeRow struct {
	Meta
	Match
	Years  int   `toml:"years"`
	Months int   `toml:"months"`
	Days   int   `toml:"days"`
	From   Basis `toml:"from"`
}

// ShelfPolicy says how many days before its last day a shop is warned of stock,
// the first time and once more.
type ShelfPolicy struct {
	WarnDays int64 `toml:"warn_days"`
	LastDays int64 `toml:"last_days"`
}

// setDefaults warns 90 and 30 days ahead, as shops that buy by the quarter do
// (common practice).
func (p *ShelfPolicy) setDefaults() {
	def(&p.WarnDays, 90)
	def(&p.LastDays, min(30, p.WarnDays))
}

func (p *ShelfPolicy) check(c *checker) {
	if p.WarnDays < 1 {
		c.amiss("shelf.warn_days", "is %d: write the days ahead, 1 or more", p.WarnDays)
	}
	if p.LastDays < 1 || p.LastDays > p.WarnDays {
		c.amiss("shelf.last_days", "is %d: write the days ahead of the second warning, from 1 to the %d of warn_days", p.LastDays, p.WarnDays)
	}
}

// Warnings returns the days on which a shop is warned of what expires. A life
// shorter than twice the days ahead is warned of in its second half.
func (p ShelfPolicy) Warnings(e Expiry) (first, last measure.Date) {
	lead := int(p.WarnDays)
	if e.From != "" {
		lead = min(lead, max(e.From.DaysUntil(e.Last)/2, 1))
	}
	return e.Last.AddDays(-lead), e.Last.AddDays(-max(lead*int(p.LastDays)/int(p.WarnDays), 1))
}

// basis is what else than its kind a row must share with another to rival it.
func (r listed) basis() Basis {
	if s, ok := r.row.(*ShelfLifeRow); ok {
		return s.From
	}
	return ""
}

// Dates are the days that the life of stock is counted from; empty where they
// are not known.
type Dates struct {
	Made, Label, Received, Opened measure.Date
	Extended                      measure.Date // until when QA extended it
}

// Of returns the day that a basis means.
func (d Dates) of(b Basis) measure.Date {
	switch b {
	case FromReceived:
		return d.Received
	case FromOpened:
		return d.Opened
	default:
		return d.Made
	}
}

// Expiry is the last day on which stock may be issued, and what decides it.
type Expiry struct {
	Last     measure.Date  // empty where none is known
	Row      *ShelfLifeRow // nil where the label or QA's extension decides
	Extended bool          // QA extended it
	Before   measure.Date  // what QA extended it from
	From     measure.Date  // when the life that decides began; empty where the label or QA's extension decides
}

// ExpiresOn returns the last day on which stock may be issued: the earliest of
// the date on its label and of what each row gives it. QA's extension moves that
// day; the life of an opened package it does not lengthen.
func (s *Set) ExpiresOn(sub Subject, d Dates) Expiry {
	e := Expiry{Last: d.Label}
	s.shorten(&e, sub, d, false)
	if e.Last != "" && d.Extended > e.Last {
		e = Expiry{Last: d.Extended, Extended: true, Before: e.Last}
	}
	s.shorten(&e, sub, d, true)
	return e
}

// shorten applies the rows for opened packages, or all others.
func (s *Set) shorten(e *Expiry, sub Subject, d Dates, opened bool) {
	for i := range s.ShelfLife {
		r := &s.ShelfLife[i]
		from := d.of(r.From)
		if (r.From == FromOpened) != opened || from == "" || !r.Matches(sub) {
			continue
		}
		if last := r.after(from); e.Last == "" || last <= e.Last {
			e.Last, e.Row, e.From = last, r, from
		}
	}
}

// after returns the last day of a life that began on a day.
func (r *ShelfLifeRow) after(d measure.Date) measure.Date {
	return d.AddYears(r.Years).AddMonths(r.Months).AddDays(r.Days)
}

// OpenedLife reports whether some row counts the life of the stock from its
// opening, so that the day of opening must be known.
func (s *Set) OpenedLife(sub Subject) bool {
	for i := range s.ShelfLife {
		if r := &s.ShelfLife[i]; r.From == FromOpened && r.Matches(sub) {
			return true
		}
	}
	return false
}
