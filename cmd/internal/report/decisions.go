package report

import (
	"ovenward/cmd/internal/app"
	"ovenward/inventory"
)

var decisions = Report{Name: "decisions", Title: "QA-hold and disposition log", Over: APeriod,
	Questions: []string{
		"What was held, since when, by whom and why?",
		"What was decided of it, who proposed and who approved, when and on what evidence?",
		"What still waits for a decision?",
	},
	make: func(m *maker) ([]Part, error) {
		facts, err := m.app.Happened(m.ctx, m.From, m.To, "hold", "release", "decide")
		if err != nil {
			return nil, err
		}
		waiting, err := m.waiting()
		return []Part{m.decisionLog(facts), waiting}, err
	}}

// decisionLog lists holds, releases and dispositions.
func (m *maker) decisionLog(facts []app.Recorded) Part {
	p := Part{Name: "log", Title: "holds and decisions", Empty: "nothing was held, released or decided " + m.period(), Columns: []Column{
		{Name: "when", Of: Instants}, {Name: "act"}, {Name: "of"}, {Name: "disposition"}, {Name: "why"}, {Name: "evidence"}, {Name: "proposed_by"},
		{Name: "by", Head: "held / approved by"}, {Name: "late", Head: "entered late by", Of: Spans}, {Name: "fact", Spare: 1}}}
	for _, f := range facts {
		late, isLate := f.Late()
		row := func(act, of, disposition, why, evidence, proposer string) {
			p.add(moment(f.Fact.At), word(act), word(of), word(disposition), word(why), orBlank(evidence, ""), orBlank(proposer, ""), word(f.By()),
				spanOr(late, isLate, ""), word(f.Fact.ID))
		}
		switch e := f.Entry.(type) {
		case *inventory.HeldBack:
			row("held", firstOf("lot", e.Lot, e.Bundle), "", e.Why, "", "")
		case *inventory.LotReleased:
			row("released", "lot "+e.Lot, "release", e.Note, "", "")
		case *inventory.Decision:
			row("decided", e.Bundle, e.Disposition, e.Why, "", e.Proposer)
		}
	}
	return p
}

// waiting lists what QA has not decided: held lots and bundles, and stock whose
// verdict is QA's.
func (m *maker) waiting() (Part, error) {
	p := Part{Name: "waiting", Title: "waits for a decision now", Empty: "nothing waits for QA at " + m.when(m.At), Columns: []Column{
		{Name: "bundle"}, {Name: "lot"}, {Name: "class"}, {Name: "amount"}, {Name: "place"}, {Name: "since", Of: Instants},
		{Name: "exposed_least", Head: "exposed, least", Of: Spans}, {Name: "exposed", Head: "exposed, most", Of: Spans}, {Name: "why"}}}
	stock, err := m.app.Stock(m.ctx, m.At)
	if err != nil {
		return p, err
	}
	holds, err := m.app.Happened(m.ctx, 0, 0, "hold")
	if err != nil {
		return p, err
	}
	for _, l := range stock {
		why := ""
		switch {
		case l.Lot.Status == inventory.Held:
			why = "QA holds the lot" + because(l.Lot.Reason)
		case l.Bundle.Hold != "":
			why = "QA holds the bundle" + because(l.Bundle.Hold)
		case l.Judgement.Verdict == inventory.QAHold:
			why = l.Judgement.Why
		default:
			continue
		}
		p.add(word(l.Bundle.Code), word(l.Lot.Code), word(l.Lot.Mark.Canonical), amount(l.Bundle.Pieces, l.Bundle.Mass), word(l.Bundle.Place.Name),
			heldSince(holds, l), span(l.Judgement.Least), span(l.Judgement.Most), word(why))
	}
	return p, nil
}

// heldSince returns when a person held a bundle or its lot last.
func heldSince(holds []app.Recorded, l app.Look) Cell {
	since := Cell(Blank("by the rules"))
	for _, f := range holds {
		if e := f.Entry.(*inventory.HeldBack); e.Bundle == l.Bundle.Code || (e.Lot != "" && e.Lot == l.Lot.Code) {
			since = moment(f.Fact.At)
		}
	}
	return since
}
