package report

import (
	"errors"
	"slices"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
)

var ovenHistory = Report{Name: "oven-history", Title: "oven history with deviations", Of: "[PLACE]", Over: APeriod,
	Questions: []string{
		"Was an oven ever below or above its range, for how long, and what was the lowest value?",
		"Are there times of which nothing is proven, and why?",
		"What stock was inside, and what was decided of it?",
	},
	make: func(m *maker) ([]Part, error) {
		list, notes, err := m.ovens()
		if err != nil {
			return nil, err
		}
		facts, err := m.app.Happened(m.ctx, m.From, 0, "decide", "hold", "scrap")
		if err != nil {
			return nil, err
		}
		whole := ovenTotals(list, m)
		whole.Notes = append(whole.Notes, notes...)
		return []Part{whole, m.deviations(list), m.decidedOf(list, facts)}, nil
	}}

// ovens returns the history of the place asked for, or of every heated place of
// which a rule asks anything. Where none does a note says so.
func (m *maker) ovens() (list []app.OvenHistory, notes []string, err error) {
	if m.Subject != "" {
		h, err := m.app.OvenHistory(m.ctx, m.Subject, m.From, m.To)
		return []app.OvenHistory{atWork(h)}, nil, err
	}
	places, err := m.app.Places(m.ctx)
	if err != nil {
		return nil, nil, err
	}
	for _, p := range places {
		if !p.Kind.Heated() {
			continue
		}
		h, err := m.app.OvenHistory(m.ctx, p.Name, m.From, m.To)
		if ref, ok := errors.AsType[*inventory.Refusal](err); ok {
			notes = append(notes, p.Name+": "+ref.Why)
			continue
		}
		if err != nil {
			return nil, nil, err
		}
		list = append(list, atWork(h))
	}
	return list, notes, nil
}

// atWork leaves out the time in which a bake oven or a quiver had nothing in it:
// it stands cold and unread when it is not used.
func atWork(h app.OvenHistory) app.OvenHistory {
	if h.Place.Kind != inventory.HoldingOven {
		h.Stretches = slices.DeleteFunc(h.Stretches, func(s app.Stretch) bool {
			return s.Finding == evidence.Unproven && len(s.Inside) == 0
		})
	}
	return h
}

// ovenTotals adds up the time that each oven spent in and out of its range.
func ovenTotals(list []app.OvenHistory, m *maker) Part {
	p := Part{Name: "ovens", Title: "ovens", Empty: "no heated place of which the rules ask anything is set up", Columns: []Column{
		{Name: "place"}, {Name: "kind"}, {Name: "asked"}, {Name: "rule", Spare: 1}, {Name: "sensors", Of: Names}, {Name: "in_range", Of: Spans},
		{Name: "too_cold", Of: Spans}, {Name: "too_hot", Of: Spans}, {Name: "unproven", Of: Spans}, {Name: "longest_gap", Of: Spans, Spare: 2},
		{Name: "lowest", Of: Heats}, {Name: "highest", Of: Heats}}}
	for _, h := range list {
		cold, hot, gap, good := h.Total(evidence.TooCold), h.Total(evidence.TooHot), h.Total(evidence.Unproven), h.Total(evidence.InRange)
		low, high, read := extremes(good, cold, hot)
		p.add(word(h.Place.Name), word(h.Place.Kind), word(h.Asked.String()), word(h.Asked.Name()), names(h.Sensors), span(good.All),
			span(cold.All), span(hot.All), span(gap.All), span(gap.Longest), heatOr(low, read), heatOr(high, read))
	}
	if len(list) > 0 {
		p.note("Readings further apart than %s prove nothing. Times %s.", list[0].Gap.Words(), m.period())
	}
	return p
}

func extremes(all ...app.Total) (low, high measure.Temperature, read bool) {
	for _, t := range all {
		if !t.Read {
			continue
		}
		if !read {
			low, high, read = t.Low, t.High, true
		}
		low, high = min(low, t.Low), max(high, t.High)
	}
	return low, high, read
}

// deviations lists every time in which an oven was not proven in range.
func (m *maker) deviations(list []app.OvenHistory) Part {
	p := Part{Name: "deviations", Title: "deviations and gaps", Empty: "no oven was out of range or without readings " + m.period(), Columns: []Column{
		{Name: "place"}, {Name: "from", Of: Instants}, {Name: "to", Of: Instants}, {Name: "lasted", Of: Spans}, {Name: "found"},
		{Name: "lowest", Of: Heats}, {Name: "highest", Of: Heats}, {Name: "inside", Head: "bundles inside", Of: Names}, {Name: "lots", Of: Names}}}
	for _, h := range list {
		for _, s := range h.Stretches {
			if s.Finding == evidence.InRange {
				continue
			}
			found := s.Finding.String()
			if s.Reason != "" {
				found += ": " + string(s.Reason)
			}
			bundles, lots := inside(s)
			p.add(word(h.Place.Name), moment(s.From), moment(s.To), span(s.To.Sub(s.From)), word(found), heatOr(s.Low, s.Read), heatOr(s.High, s.Read),
				bundles, lots)
		}
	}
	return p
}

func inside(s app.Stretch) (bundles, lots names) {
	for _, o := range s.Inside {
		bundles = append(bundles, o.Bundle)
		if !slices.Contains(lots, o.Lot) {
			lots = append(lots, o.Lot)
		}
	}
	return bundles, lots
}

// decidedOf lists for each bundle that was inside during a deviation what QA
// decided of it since, and that nothing was decided where that is so.
func (m *maker) decidedOf(list []app.OvenHistory, facts []app.Recorded) Part {
	p := Part{Name: "decisions", Title: "what was decided of the stock inside", Empty: "no opened stock was in an oven that was out of range or without readings " + m.period(),
		Columns: []Column{{Name: "place"}, {Name: "deviation", Of: Instants}, {Name: "bundle"}, {Name: "lot"}, {Name: "decided", Of: Instants},
			{Name: "by"}, {Name: "what"}}}
	for _, h := range list {
		for _, s := range h.Stretches {
			if s.Finding == evidence.InRange {
				continue
			}
			for _, o := range s.Inside {
				any := false
				for _, f := range facts {
					if f.Fact.At >= s.From && speaksOf(f.Entry, o.Bundle, o.Lot) {
						any = true
						p.add(word(h.Place.Name), moment(s.From), word(o.Bundle), word(o.Lot), moment(f.Fact.At), word(f.By()), word(told(f.Entry)))
					}
				}
				if !any {
					p.add(word(h.Place.Name), moment(s.From), word(o.Bundle), word(o.Lot), Blank(""), Blank(""), word("no decision is recorded"))
				}
			}
		}
	}
	return p
}

// speaksOf reports whether a hold, a decision or a scrap is of a bundle or its
// lot.
func speaksOf(e inventory.Entry, bundle, lot string) bool {
	switch e := e.(type) {
	case *inventory.Decision:
		return e.Bundle == bundle
	case *inventory.HeldBack:
		return e.Bundle == bundle || (e.Lot != "" && e.Lot == lot)
	case *inventory.Scrapped:
		return e.Bundle == bundle
	}
	return false
}
