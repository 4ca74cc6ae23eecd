package report

import (
	"fmt"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
)

var issueHistory = Report{Name: "issue-history", Title: "exposure history of one issue", Of: "SLIP", Over: Ever,
	Questions: []string{
		"When did the rods go out, from which bundle, in what holder, and when were they back?",
		"What did the portable oven's readings show meanwhile?",
		"Under which clock policy and limit did they run, and with what verdict?",
		"Who acted, and what was entered late or corrected?",
	},
	make: func(m *maker) ([]Part, error) {
		s, err := m.app.Slip(m.ctx, m.Subject, m.At)
		if err != nil {
			return nil, err
		}
		slip, err := m.oneSlip(s)
		if err != nil {
			return nil, err
		}
		history := Part{Name: "history", Title: "where the rods were", Columns: historyColumns("slip"), Empty: "nothing is recorded of the rods' past"}
		if err := m.history(&history, word(s.Slip.Code), s.Slip); err != nil {
			return nil, err
		}
		readings, err := m.holderReadings(s.Slip)
		if err != nil {
			return nil, err
		}
		acts, err := m.acts(s.Slip)
		if err != nil {
			return nil, err
		}
		seen, err := m.app.RemarksOn(m.ctx, s.Slip.Code, m.At)
		return []Part{slip, history, readings, acts, notesOf(seen, "nothing was noted of the rods of this slip")}, err
	}}

// oneSlip is the slip, a line for each thing that is asked about it.
func (m *maker) oneSlip(s app.SlipLook) (Part, error) {
	p := Part{Name: "slip", Title: "the issue", Columns: []Column{{Name: "item"}, {Name: "value"}}}
	say := func(item, format string, args ...any) { p.add(word(item), word(fmt.Sprintf(format, args...))) }
	j := s.Judgement
	say("rods", "%s of %s, %s %s, lot %s", amount(s.Slip.Pieces, s.Slip.Mass).text(style{}), s.Slip.Bundle, s.Lot.Mark.Canonical, s.Lot.Size, s.Lot.Code)
	say("to", "welder %s%s, holder %s%s", s.Slip.Welder, forJoints(s.Slip.Joints), s.Slip.Holder.Name, forJob(s.Slip.Job))
	say("out", "%s, issued by %s", m.when(s.Slip.At), s.Slip.By)
	if s.Slip.Closed == 0 {
		say("back", "NOT BACK at %s", m.when(m.At))
	} else {
		say("back", "%s, out for %s", m.when(s.Slip.Closed), s.Slip.Closed.Sub(s.Slip.At).Words())
		say("came back", "%s unused, %d stubs, %d damaged, %d without a readable mark; used %s", amount(s.Slip.Back.Unused, s.Slip.Back.UnusedMass).text(style{}),
			s.Slip.Back.Stubs, s.Slip.Back.Damaged, s.Slip.Back.Unidentified, used(s.Slip).text(style{}))
	}
	say("clock policy", "%s", j.Ruling.Clock.Policy)
	if j.Ruling.Clocked() {
		say("limit", "%s, row %s: %s (%s)", j.Limit, j.Ruling.Name(), j.Ruling.Exposure.Source, j.Ruling.Exposure.Status)
	}
	if j.Due != 0 {
		say("due back", "%s", m.when(j.Due))
	}
	say("exposed", "%s", exposed(j.Least, j.Most))
	for _, f := range s.Flags {
		say("against a rule", "%s: %s", f.Code, f.Why)
	}
	if s.Overdue != 0 {
		say("past the limit", "since %s", m.when(s.Overdue))
	}
	say("verdict", "%s: %s", j.Verdict, j.Why)
	return p, m.storedVerdicts(&p, s.Slip)
}

func exposed(least, most measure.Duration) string {
	if least == most {
		return most.String()
	}
	return fmt.Sprintf("least %s, most %s", least, most)
}

// storedVerdicts adds what was judged when the rods went out and came back, as
// the ledger keeps it beside the act.
func (m *maker) storedVerdicts(p *Part, s inventory.Slip) error {
	facts, err := m.app.Naming(m.ctx, s.Lot, s.Code)
	if err != nil {
		return err
	}
	for _, f := range facts {
		switch e := f.Entry.(type) {
		case *inventory.Issued:
			p.judged("judged when issued", e.Judged)
		case *inventory.Returned:
			p.judged("judged when returned", e.Judged)
		}
	}
	return nil
}

func (p *Part) judged(item string, j *inventory.Judged) {
	if j != nil {
		p.add(word(item), word(fmt.Sprintf("%s: %s; exposed %s by %s, edition %s, row %s", j.Verdict, j.Why, j.Most, j.Rules, j.Edition, j.Row)))
	}
}

// holderReadings lists what the sensors of a heated holder showed while the rods
// were in it.
func (m *maker) holderReadings(s inventory.Slip) (Part, error) {
	p := Part{Name: "readings", Title: "readings of the holder", Columns: []Column{
		{Name: "at", Of: Instants}, {Name: "sensor"}, {Name: "shown", Of: Heats}}}
	until := m.At
	if s.Closed != 0 {
		until = s.Closed
	}
	if !s.Holder.Kind.Heated() {
		p.Empty = "the rods were in " + s.Holder.Name + ", which is not heated: there is nothing to read"
		return p, nil
	}
	p.Empty = fmt.Sprintf("no readings of %s between %s and %s", s.Holder.Name, m.when(s.At), m.when(until))
	list, err := m.app.Readings(m.ctx, s.Holder.Name, s.At, until)
	for _, sensor := range list {
		for _, r := range sensor.List {
			p.add(moment(r.At), word(sensor.Sensor), heat(r.Temp))
		}
	}
	return p, err
}

// acts lists who did what to the slip's rods, and when it was entered.
func (m *maker) acts(s inventory.Slip) (Part, error) {
	p := Part{Name: "acts", Title: "who acted", Columns: actColumns(), Empty: "no fact names slip " + s.Code}
	facts, err := m.app.Naming(m.ctx, s.Lot, s.Code)
	for _, f := range facts {
		p.act(f)
	}
	return p, err
}

func actColumns() []Column {
	return []Column{{Name: "at", Of: Instants}, {Name: "by"}, {Name: "kind"}, {Name: "what"}, {Name: "late", Head: "entered late by", Of: Spans},
		{Name: "corrected_by"}, {Name: "reason"}, {Name: "fact", Spare: 1}}
}

func (p *Part) act(f app.Recorded) {
	late, isLate := f.Late()
	by, reason := Cell(Blank("")), Cell(Blank(""))
	if f.Fact.ID != f.First.ID {
		by, reason = word(f.Fact.By), word(f.Fact.Reason)
	}
	p.add(moment(f.Fact.At), word(f.By()), word(f.Fact.Kind), word(told(f.Entry)), spanOr(late, isLate, ""), by, reason, word(f.Fact.ID))
}
