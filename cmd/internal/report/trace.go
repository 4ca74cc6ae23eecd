package report

import (
	"fmt"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/exposure"
)

var traceJoint = Report{Name: "trace-joint", Title: "joint to filler", Of: "JOINT", Over: Ever,
	Questions: []string{
		"Which lot and which package stand behind the joint, and with which certificate?",
		"What do the lot's papers prove, how old was the test, and whose is the lot?",
		"In which ovens were the rods, and what did the readings show?",
		"How often were they baked, and for how long were they exposed, of which limit?",
		"Who issued them to whom, and what do the records not say?",
	},
	make: func(m *maker) ([]Part, error) {
		t, err := m.app.Trace(m.ctx, m.Subject)
		if err != nil {
			return nil, err
		}
		if t.Of != "joint" {
			return nil, notA("joint", m.Subject, t.Of, "ovenward trace "+m.Subject)
		}
		behind, err := m.behind(t)
		if err != nil {
			return nil, err
		}
		history := Part{Name: "history", Title: "where the rods were", Columns: historyColumns("slip"), Empty: "nothing is recorded of the rods' past"}
		for _, s := range t.Slips {
			if err := m.history(&history, word(s.Slip.Code), s.Slip); err != nil {
				return nil, err
			}
		}
		papers, err := m.papersBehind(t)
		if err != nil {
			return nil, err
		}
		notes := notesOf(t.Remarks, "nothing was noted of the rods behind it")
		return []Part{behind, papers, history, notes, unknown(t)}, nil
	}}

// notA is the refusal of a name that is something else.
func notA(asked, name, is, next string) error {
	return &inventory.Refusal{Code: inventory.Unknown, Subject: name, Value: name, Why: fmt.Sprintf("it is a %s, not a %s", is, asked),
		Next: "see it with: " + next}
}

// behind lists the slips of a trace with what stands behind their rods.
func (m *maker) behind(t app.Trace) (Part, error) {
	p := Part{Name: "slips", Title: "what stands behind it", Empty: "no slip names joint " + t.Code, Columns: []Column{
		{Name: "slip"}, {Name: "lot"}, {Name: "class"}, {Name: "size"}, {Name: "certificate"}, {Name: "maker", Spare: 1},
		{Name: "from", Head: "from package / bundle", Of: Names}, {Name: "welder"}, {Name: "issued_by"}, {Name: "out", Of: Instants},
		{Name: "back", Of: Instants}, {Name: "issued"}, {Name: "used"},
		{Name: "exposed_out", Head: "exposed when issued", Of: Spans}, {Name: "exposed_back", Head: "exposed at return", Of: Spans},
		{Name: "limit", Of: Spans}, {Name: "bakes", Of: Numbers}, {Name: "verdict", Head: "verdict at return"}, {Name: "rule", Spare: 2},
		{Name: "source", Spare: 3}}}
	for _, s := range t.Slips {
		l := lotOf(t.Lots, s.Slip.Lot)
		j := s.WentBack
		papers, err := m.certificate(l)
		if err != nil {
			return p, err
		}
		p.add(word(s.Slip.Code), word(l.Code), word(l.Mark.Canonical), word(l.Size), word(papers), word(l.Maker), names(s.Came),
			word(s.Slip.Welder), word(s.Slip.By), moment(s.Slip.At), momentOr(s.Slip.Closed, "still out"), amount(s.Slip.Pieces, s.Slip.Mass), used(s.Slip),
			span(s.WentOut.Most), span(j.Most), spanOr(j.Limit, j.Limit != 0, "none"), number(s.WentOut.Bakes),
			word(fmt.Sprintf("%s: %s", j.Verdict, j.Why)), word(j.Ruling.Name()), word(j.Ruling.Exposure.Source))
	}
	return p, nil
}

func lotOf(lots []inventory.Lot, code string) inventory.Lot {
	for _, l := range lots {
		if l.Code == code {
			return l
		}
	}
	return inventory.Lot{Code: code}
}

// momentOr is an instant, or a word where there is none.
func momentOr(at measure.Instant, otherwise string) Cell {
	if at == 0 {
		return Blank(otherwise)
	}
	return moment(at)
}

// used is what a slip's return says was used; nothing is known while it is out.
func used(s inventory.Slip) Cell {
	if s.Closed == 0 {
		return Blank("not known yet")
	}
	if s.Mass != 0 {
		return word((s.Mass - s.Back.UnusedMass).String())
	}
	return word(fmt.Sprint(s.Back.Used(s.Pieces)))
}

// historyColumns are those of a bundle's past, behind one that says whose.
func historyColumns(of string) []Column {
	return []Column{{Name: of}, {Name: "from", Of: Instants}, {Name: "to", Of: Instants}, {Name: "bundle"}, {Name: "place"},
		{Name: "counted_as"}, {Name: "coldest", Of: Heats}, {Name: "exposed_after_least", Head: "exposed after, least", Of: Spans},
		{Name: "exposed_after", Head: "exposed after, most", Of: Spans}, {Name: "why"}}
}

// history appends every piece of time in the past of a slip's rods, up to their
// return or the instant asked about.
func (m *maker) history(p *Part, of Cell, s inventory.Slip) error {
	until := m.At
	if s.Closed != 0 {
		until = min(until, s.Closed)
	}
	l, err := m.app.At(m.ctx, s.Code, until, s.Rules)
	if err != nil {
		return err
	}
	for _, c := range l.Judgement.Pieces {
		p.add(of, moment(c.From), moment(c.To), word(c.Bundle), word(c.Place), word(c.Kind), lowest(c), span(c.Least), span(c.Most), word(c.Why))
	}
	return nil
}

// lowest is the coldest reading behind a piece of time; where none is asked for
// there is nothing to say.
func lowest(c exposure.Piece) Cell {
	if !c.Proven {
		return Blank("")
	}
	return heat(c.Low)
}

// unknown lists what the records of a trace do not say.
func unknown(t app.Trace) Part {
	p := Part{Name: "unknown", Title: "what the records do not say", Columns: []Column{{Name: "what"}},
		Empty: "Nothing is left open: all of it is accounted for."}
	for _, u := range t.Unknown {
		p.add(word(u))
	}
	return p
}
