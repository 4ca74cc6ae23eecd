package report

import (
	"cmp"
	"errors"
	"slices"

	"ovenward/alerts/alarm"
	"ovenward/alerts/alarmdb"
	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/rounds"
)

var shiftEnd = Report{Name: "shift-end", Title: "end of the shift", Over: AnInstant,
	Questions: []string{
		"What must be brought back before the shift goes, and from whom?",
		"What is in hold, to be baked or baking, and until when?",
		"What waits for QA, so that the next shift does not issue it?",
		"Which alarms stand, and how many are set aside?",
		"Which oven checks of the shift were not made?",
	},
	make: func(m *maker) ([]Part, error) {
		list, err := m.app.Out(m.ctx, m.At)
		if err != nil {
			return nil, err
		}
		parts := []Part{m.toComeBack(list)}
		for _, part := range []func() (Part, error){m.inTheOvens, m.withQA, m.standingAlarms, m.missedChecks} {
			p, err := part()
			if err != nil {
				return nil, err
			}
			parts = append(parts, p)
		}
		return parts, nil
	}}

// toComeBack lists the slips that are out, the most urgent first.
func (m *maker) toComeBack(list []app.SlipLook) Part {
	p := Part{Name: "back", Title: "must be brought back", Empty: "nothing was out at " + m.when(m.At), Columns: []Column{
		{Name: "welder"}, {Name: "slip"}, {Name: "class"}, {Name: "amount"}, {Name: "out", Of: Instants}, {Name: "due", Of: Instants}, {Name: "state"},
		{Name: "joints", Of: Names, Spare: 1}}}
	for _, s := range list {
		state := "within the limit"
		if s.Overdue != 0 {
			state = "OVERDUE since " + s.Overdue.Minute().Clock(m.zone, m.At)
		}
		p.add(word(s.Slip.Welder), word(s.Slip.Code), word(s.Lot.Mark.Canonical), amount(s.Slip.Pieces, s.Slip.Mass), moment(s.Slip.At),
			momentOr(s.Judgement.Due, "not in sight"), word(state), names(s.Slip.Joints))
	}
	return p
}

// inTheOvens lists what is in hold, what is to be baked and what is baking, with
// what is left on machines.
func (m *maker) inTheOvens() (Part, error) {
	p := Part{Name: "kept", Title: "in hold, to bake, baking, on machines", Empty: "nothing was in hold, to be baked, baking or left on a machine at " + m.when(m.At),
		Columns: []Column{{Name: "state"}, {Name: "bundle"}, {Name: "class"}, {Name: "amount"}, {Name: "place"}, {Name: "since", Of: Instants}, {Name: "ready", Of: Instants}}}
	stock, err := m.app.Stock(m.ctx, m.At)
	if err != nil {
		return p, err
	}
	add := func(state string, l app.Look, ready measure.Instant) {
		p.add(word(state), word(l.Bundle.Code), word(l.Lot.Mark.Canonical), amount(l.Bundle.Pieces, l.Bundle.Mass), word(l.Bundle.Place.Name),
			momentOr(l.Since, "not known"), momentOr(ready, "not in sight"))
	}
	for _, l := range stock {
		switch {
		case l.Bundle.Place.Kind == inventory.BakeOven:
			add("baking", l, l.Judgement.Ready)
		case l.Judgement.Verdict == inventory.Hold:
			add("in hold", l, l.Judgement.Ready)
		case l.Judgement.Verdict == inventory.Bake:
			add("to bake", l, 0)
		}
	}
	machines, err := m.app.OnMachines(m.ctx, m.At)
	for _, l := range machines {
		if l.Covered == 0 {
			add("NOT COVERED", l, 0)
		}
	}
	slices.SortStableFunc(p.Rows, func(a, b []Cell) int { return cmp.Compare(a[0].(word), b[0].(word)) })
	return p, err
}

// withQA lists what QA holds or has to decide on: nobody may issue it.
func (m *maker) withQA() (Part, error) {
	p := Part{Name: "qa", Title: "waits for QA: not to be issued", Empty: "nothing waited for QA at " + m.when(m.At), Columns: []Column{
		{Name: "what"}, {Name: "lot"}, {Name: "class"}, {Name: "amount"}, {Name: "place"}, {Name: "why"}}}
	cases, proposed, err := m.app.QACases(m.ctx, m.At)
	if err != nil {
		return p, err
	}
	for _, c := range cases {
		p.add(word(c.Bundle.Code), word(c.Lot.Code), word(c.Lot.Mark.Canonical), amount(c.Bundle.Pieces, c.Bundle.Mass), word(c.Bundle.Place.Name), word(c.Why))
	}
	for _, l := range proposed {
		p.add(word("proposal "+l.Code), word(l.Lot), Blank(""), Blank(""), Blank(""), word(l.Why))
	}
	stock, err := m.app.Stock(m.ctx, m.At)
	said := map[string]bool{}
	for _, l := range stock {
		if l.Lot.Status != inventory.Released && l.Lot.Status != inventory.PracticeStock && !said[l.Lot.Code] {
			said[l.Lot.Code] = true
			p.add(word("the whole lot"), word(l.Lot.Code), word(l.Lot.Mark.Canonical), Blank(""), Blank(""), word("not released by QA"))
		}
	}
	return p, err
}

// standingAlarms lists the alarms that stood and counts what is set aside, so that
// nothing is hidden.
func (m *maker) standingAlarms() (Part, error) {
	p := Part{Name: "alarms", Title: "alarms that stand", Empty: "no alarm stood at " + m.when(m.At), Columns: []Column{
		{Name: "priority"}, {Name: "since", Of: Instants}, {Name: "kind"}, {Name: "subject"}, {Name: "what"}, {Name: "action"}}}
	list, err := m.app.AlarmsIn(m.ctx, m.At, m.At+1)
	if err != nil {
		return p, err
	}
	slices.SortStableFunc(list, func(a, b alarmdb.Alarm) int { return a.Priority.Compare(b.Priority) })
	for _, a := range list {
		p.add(word(a.Priority), moment(a.Since), word(a.Kind), word(a.Subject), word(a.What), word(a.Action))
	}
	return p, m.setAside(&p)
}

// setAside counts what is set aside, in a report that speaks of now: how it was
// at an earlier time is in the history of alarms.
func (m *maker) setAside(p *Part) error {
	if m.Known != 0 || m.printed.Sub(m.At) > measure.Hour {
		return nil
	}
	_, counts, err := m.app.Board(m.ctx, false)
	p.note("Set aside at %s: %d shelved, %d suppressed by design, %d out of service.", m.when(m.printed),
		counts[alarm.OnShelf], counts[alarm.Suppressed], counts[alarm.OutOfService])
	return err
}

// missedChecks lists the checks of the ovens that were due in the shift and were
// late or not made.
func (m *maker) missedChecks() (Part, error) {
	duty := m.dutyBy(m.At)
	p := Part{Name: "checks", Title: "oven checks missed", Columns: []Column{{Name: "place"}, {Name: "due", Of: Instants}, {Name: "made", Of: Instants}, {Name: "state"}},
		Empty: "no check of an oven was missed or late between " + m.when(duty.From) + " and " + m.when(m.At)}
	list, err := m.app.OvenChecks(m.ctx, "", 0, m.At)
	if ref, ok := errors.AsType[*inventory.Refusal](err); ok {
		p.Empty = ref.Why
		return p, nil
	}
	for _, place := range list {
		for _, r := range place.Rounds {
			if r.Due >= duty.From && r.State != rounds.Done {
				p.add(word(place.Place.Name), moment(r.Due), momentOr(r.At, "not made"), word(r.State))
			}
		}
	}
	return p, err
}

// dutyBy returns the shift that ended last by an instant or runs then, or the day
// where the site has no shifts.
func (m *maker) dutyBy(at measure.Instant) inventory.Duty {
	list := m.duties(at.Add(-3*measure.Day), at)
	return slices.MaxFunc(list, func(a, b inventory.Duty) int { return cmp.Compare(a.From, b.From) })
}
