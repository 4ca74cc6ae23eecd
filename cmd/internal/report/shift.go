package report

import (
	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
)

var shiftReport = Report{Name: "shift", Title: "shift report", Over: APeriod,
	Questions: []string{
		"What went out and came back in each shift, and on each day?",
		"Were the ovens read, when were they not, and were they in range?",
		"Which alarms were raised, and what was entered late or corrected?",
		"What was noted of the rods?",
		"What was open at the end, and who took it over from whom?",
	},
	make: func(m *maker) ([]Part, error) {
		w, err := m.shiftWork()
		if err != nil {
			return nil, err
		}
		checks, err := m.shiftChecks(w.shifts)
		if err != nil {
			return nil, err
		}
		open, err := m.openAtEnd(w.shifts)
		if err != nil {
			return nil, err
		}
		notes, err := m.notesIn()
		return []Part{w.totals(m), w.days(m), w.moved(m), checks, w.alerts(m), w.entered(m), notes, open, w.handovers(m)}, err
	}}

// shiftWork is what happened in the shifts of a report.
type shiftWork struct {
	shifts []inventory.Duty
	noted  []app.Noted
	facts  []app.Recorded // issues, returns, scrap and hand-overs
	alarms []raised
}

// shiftWork reads it. Where a site has no shifts its days are taken.
func (m *maker) shiftWork() (w shiftWork, err error) {
	w.shifts = m.duties(m.From, m.To)
	if w.facts, err = m.app.Happened(m.ctx, m.From, m.To, "issue", "return", "scrap"); err != nil {
		return w, err
	}
	// A shift may be handed over after its end.
	over, err := m.app.Happened(m.ctx, m.From, m.To.Add(measure.Day), "handover")
	if err != nil {
		return w, err
	}
	w.facts = append(w.facts, over...)
	if w.noted, err = m.app.Noted(m.ctx, m.From, m.To); err != nil {
		return w, err
	}
	w.alarms, err = m.raised()
	return w, err
}

// duties returns the shifts that have any time from one instant up to another, the
// days where the site has no shifts.
func (m *maker) duties(from, to measure.Instant) []inventory.Duty {
	if len(m.site.Shifts) == 0 {
		return app.Days(from, to, m.zone)
	}
	return inventory.Duties(m.site.Shifts, from, to, m.zone)
}

// of returns the shift that an instant falls into, in words.
func (w shiftWork) of(at measure.Instant) string {
	for _, d := range w.shifts {
		if d.Has(at) {
			return d.String()
		}
	}
	return "between shifts"
}

// tally is what a stretch of time came to.
type tally struct {
	issues, returns, scrapped, late, alarms int64
	out, back                               int64 // rods
}

func (w shiftWork) tally(d inventory.Duty) (t tally) {
	for _, f := range w.facts {
		if !d.Has(f.Fact.At) {
			continue
		}
		switch e := f.Entry.(type) {
		case *inventory.Issued:
			t.issues++
			t.out += int64(e.Pieces)
		case *inventory.Returned:
			t.returns++
			t.back += int64(e.Unused)
		case *inventory.Scrapped:
			t.scrapped++
		}
	}
	for _, n := range w.noted {
		if _, late := n.Fact.Late(); late && n.Was == nil && d.Has(n.Fact.Noted) {
			t.late++
		}
	}
	for _, a := range w.alarms {
		if d.Has(a.Since) {
			t.alarms++
		}
	}
	return t
}

// totals is a line for each shift, so that a weak one shows.
func (w shiftWork) totals(m *maker) Part {
	p := Part{Name: "shifts", Title: "shifts", Empty: "no shift falls " + m.period(), Columns: append([]Column{
		{Name: "shift"}, {Name: "from", Of: Instants}, {Name: "to", Of: Instants}, {Name: "hours", Of: Spans}}, tallyColumns()...)}
	p.Columns = append(p.Columns, Column{Name: "handed_over_to"})
	for _, d := range w.shifts {
		row := append([]Cell{word(d.String()), moment(d.From), moment(d.To), span(d.To.Sub(d.From))}, w.tally(d).cells()...)
		p.add(append(row, w.takenOver(d, m))...)
	}
	if len(m.site.Shifts) == 0 {
		p.note("No shifts are set up, so each day counts as one: ovenward setup --shifts 06:00-18:00,18:00-06:00")
	} else {
		p.note("A fact belongs to the shift in which it happened; a night shift is of the day on which it begins.")
	}
	return p
}

func tallyColumns() []Column {
	return []Column{{Name: "issues", Of: Numbers}, {Name: "rods_out", Of: Numbers}, {Name: "returns", Of: Numbers}, {Name: "rods_back", Of: Numbers},
		{Name: "scrapped", Of: Numbers}, {Name: "alarms", Of: Numbers}, {Name: "entered_late", Of: Numbers}}
}

func (t tally) cells() []Cell {
	return []Cell{number(t.issues), number(t.out), number(t.returns), number(t.back), number(t.scrapped), number(t.alarms), number(t.late)}
}

// takenOver says who took a shift over, where it has ended.
func (w shiftWork) takenOver(d inventory.Duty, m *maker) Cell {
	for _, f := range w.facts {
		if e, ok := f.Entry.(*inventory.HandedOver); ok && e.Shift == d.String() {
			return word(e.To)
		}
	}
	if d.To > m.At {
		return Blank("still running")
	}
	return Blank("NOT HANDED OVER")
}

// days is a line for each day of the site's clock.
func (w shiftWork) days(m *maker) Part {
	p := Part{Name: "days", Title: "days", Empty: "no day falls " + m.period(), Columns: append([]Column{{Name: "day"}, {Name: "hours", Of: Spans}}, tallyColumns()...)}
	for _, d := range app.Days(m.From, m.To, m.zone) {
		p.add(append([]Cell{word(d.Date), span(d.To.Sub(d.From))}, w.tally(d).cells()...)...)
	}
	p.note("A day is counted from %s to %s only.", m.when(m.From), m.when(m.To))
	return p
}

// moved lists the issues and returns.
func (w shiftWork) moved(m *maker) Part {
	p := Part{Name: "moves", Title: "issues and returns", Empty: "nothing went out or came back " + m.period(), Columns: []Column{
		{Name: "shift"}, {Name: "at", Of: Instants}, {Name: "kind"}, {Name: "slip"}, {Name: "welder"}, {Name: "what"}, {Name: "by"}, {Name: "verdict"}}}
	for _, f := range w.facts {
		switch e := f.Entry.(type) {
		case *inventory.Issued:
			p.add(word(w.of(f.Fact.At)), moment(f.Fact.At), word("issue"), word(e.Slip), word(e.Welder), word(told(e)), word(f.By()), verdictOf(e.Judged))
		case *inventory.Returned:
			p.add(word(w.of(f.Fact.At)), moment(f.Fact.At), word("return"), word(e.Slip), Blank(""), word(told(e)), word(f.By()), verdictOf(e.Judged))
		}
	}
	return p
}

func verdictOf(j *inventory.Judged) Cell {
	if j == nil {
		return Blank("not judged")
	}
	return word(string(j.Verdict) + because(j.Why))
}

// entered lists what was entered late or corrected, by when it was entered.
func (w shiftWork) entered(m *maker) Part {
	p := Part{Name: "entered", Title: "entered late or corrected", Empty: "nothing was entered late or corrected " + m.period(), Columns: []Column{
		{Name: "shift"}, {Name: "entered", Of: Instants}, {Name: "happened", Of: Instants}, {Name: "late", Of: Spans}, {Name: "by"}, {Name: "what"}, {Name: "reason"}}}
	for _, n := range w.noted {
		late, isLate := n.Fact.Late()
		if n.Was == nil && !isLate {
			continue
		}
		what := told(n.Entry)
		if n.Was != nil {
			what = "corrected: " + what
		}
		p.add(word(w.of(n.Fact.Noted)), moment(n.Fact.Noted), moment(n.Fact.At), spanOr(late, isLate, ""), word(n.Fact.By), word(what), orBlank(n.Fact.Reason, ""))
	}
	return p
}

// handovers lists who took over what.
func (w shiftWork) handovers(m *maker) Part {
	p := Part{Name: "handovers", Title: "hand-over", Empty: "no shift was handed over " + m.period(), Columns: []Column{
		{Name: "shift"}, {Name: "at", Of: Instants}, {Name: "from"}, {Name: "to"}, {Name: "slips", Of: Names}, {Name: "overdue", Of: Names},
		{Name: "ovens"}, {Name: "bakes", Of: Names}, {Name: "holds"}, {Name: "note"}}}
	for _, f := range w.facts {
		if e, ok := f.Entry.(*inventory.HandedOver); ok {
			p.add(word(e.Shift), moment(f.Fact.At), word(e.From), word(e.To), names(e.Slips), names(e.Overdue), word(commas(e.Ovens)), names(e.Bakes),
				word(commas(e.Holds)), word(e.Note))
		}
	}
	return p
}
