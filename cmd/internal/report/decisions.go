package report

import (
	"cmp"
	"strings"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
)

var decisions = Report{Name: "decisions", Title: "QA-hold and disposition log", Over: APeriod,
	Questions: []string{
		"What was held, since when, by whom and why?",
		"What was decided of it, who proposed and who approved, when and on what evidence?",
		"What still waits for a decision?",
		"What was noted of the rods: spot checks, and what welders complained of?",
	},
	make: func(m *maker) ([]Part, error) {
		facts, err := m.app.Happened(m.ctx, m.From, m.To, "hold", "release", "propose", "decide", "extend", "settle")
		if err != nil {
			return nil, err
		}
		log, err := m.decisionLog(facts)
		if err != nil {
			return nil, err
		}
		waiting, err := m.waiting()
		if err != nil {
			return nil, err
		}
		notes, err := m.notesIn()
		return []Part{log, waiting, notes}, err
	}}

// decisionLog lists holds, releases, proposals and dispositions.
func (m *maker) decisionLog(facts []app.Recorded) (Part, error) {
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
		case *inventory.Proposed:
			row("proposed "+e.Proposal, subjectOf(e), e.Disposition+untilDay(e.Until), e.Why, evidenceOf(e.Evidence), f.By())
		case *inventory.Settled:
			row("decided", "sensor "+e.Sensor+", check of "+e.Check, e.Disposition, e.Why, "", e.Proposer)
		case *inventory.Extended:
			row("extended", "lot "+e.Lot, "extend"+untilDay(e.Until), "", e.Reference, e.Proposer)
		case *inventory.Decision:
			evidence, err := m.evidenceFor(e)
			if err != nil {
				return p, err
			}
			act := "decided"
			if e.Rejected {
				act = "REJECTED"
			}
			row(strings.TrimSpace(act+" "+e.Proposal), firstOf("lot", e.Lot, e.Bundle), e.Disposition+untilDay(e.Until), e.Why, evidence, e.Proposer)
		}
	}
	return p, nil
}

func untilDay(day string) string {
	if day == "" {
		return ""
	}
	return " until " + day
}

// evidenceOf names the paper or file that a proposal rests on.
func evidenceOf(r *inventory.Reference) string {
	switch {
	case r == nil:
		return ""
	case r.Digest == "":
		return r.Reference
	}
	return r.Reference + ", SHA-256 " + r.Digest
}

// evidenceFor is what a decision rests on: its own reference, or that of the
// proposal that it is of.
func (m *maker) evidenceFor(e *inventory.Decision) (string, error) {
	if e.Reference != "" || e.Proposal == "" {
		return e.Reference, nil
	}
	p, err := m.app.Proposal(m.ctx, e.Proposal)
	if err != nil {
		return "", err
	}
	return evidenceOf(&inventory.Reference{Reference: p.Evidence, Digest: p.Digest}), nil
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
		case l.Lot.Status == inventory.Awaiting:
			why = "QA has not released the lot"
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
	if err := m.doubtsWaiting(&p); err != nil {
		return p, err
	}
	return p, m.proposalsWaiting(&p)
}

// doubtsWaiting notes the checks of sensors that touch what was judged before
// them, and that nobody has decided about.
func (m *maker) doubtsWaiting(p *Part) error {
	words, err := m.app.Words(m.ctx)
	if err != nil {
		return err
	}
	open, err := m.app.Doubts(m.ctx, m.At)
	for _, r := range open {
		joints := "no joint"
		if list := r.Joints(); len(list) > 0 {
			joints = "joints " + commas(list)
		}
		p.note("Reading in doubt: %s; %d of %d judgements come out differently, %s. It waits for: ovenward decide sensor %s.",
			words.WasWrong(r.Sensor.Name, r.Check.Found, r.Since, r.Check.At), len(r.Changed), r.Compared, joints, r.Sensor.Name)
	}
	return err
}

// proposalsWaiting notes the proposals that nobody has decided.
func (m *maker) proposalsWaiting(p *Part) error {
	open, err := m.app.ProposalsWaiting(m.ctx)
	for _, x := range open {
		p.note("Proposal %s of %s at %s waits: %s %s%s%s.", x.Code, x.Proposer, m.when(x.At), x.Disposition,
			cmp.Or(x.Bundle, "lot "+x.Lot), untilDay(x.Until), because(x.Why))
	}
	return err
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
