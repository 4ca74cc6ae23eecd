package report

import (
	"cmp"
	"slices"

	"ovenward/cmd/internal/app"
	"ovenward/inventory/measure"
)

var openIssues = Report{Name: "open-issues", Title: "open issues and overdue", Over: AnInstant,
	Questions: []string{
		"Who held what, since when, now or at any time past?",
		"Who was over the limit, and since when?",
		"Which joints may rods past their limit have gone into?",
	},
	make: func(m *maker) ([]Part, error) {
		list, err := m.app.Out(m.ctx, m.At)
		if err != nil {
			return nil, err
		}
		return []Part{m.outPart(list), m.byWelder(list)}, nil
	}}

// outPart lists the slips that are out, the most urgent first.
func (m *maker) outPart(list []app.SlipLook) Part {
	p := Part{Name: "open", Title: "open issues", Empty: "no issue was open at " + m.when(m.At), Columns: []Column{
		{Name: "welder"}, {Name: "slip"}, {Name: "class"}, {Name: "size"}, {Name: "lot"}, {Name: "amount"}, {Name: "holder"}, {Name: "out", Of: Instants},
		{Name: "out_for", Of: Spans}, {Name: "exposed_least", Head: "exposed, least", Of: Spans, Spare: 1}, {Name: "exposed", Head: "exposed, most", Of: Spans},
		{Name: "limit", Of: Spans}, {Name: "due", Of: Instants}, {Name: "state"}, {Name: "joints", Of: Names}, {Name: "issued_by", Spare: 2}, {Name: "rule", Spare: 3}}}
	over := 0
	for _, s := range list {
		j := s.Judgement
		state := "within the limit"
		switch {
		case s.Overdue != 0:
			over++
			state = "OVERDUE since " + s.Overdue.Minute().Clock(m.zone, m.At)
		case j.Due == 0:
			state = "no limit in sight"
		}
		p.add(word(s.Slip.Welder), word(s.Slip.Code), word(s.Lot.Mark.Canonical), word(s.Lot.Size), word(s.Lot.Code), amount(s.Slip.Pieces, s.Slip.Mass),
			word(s.Slip.Holder.Name), moment(s.Slip.At), span(m.At.Sub(s.Slip.At)), span(j.Least), span(j.Most), spanOr(j.Limit, j.Limit != 0, "none"),
			momentOr(j.Due, "not in sight"), word(state), names(s.Slip.Joints), word(s.Slip.By), word(j.Ruling.Name()))
	}
	if len(list) > 0 {
		p.note("%s open, %d over the limit.", count(len(list), "issue"), over)
	}
	return p
}

// byWelder adds up what each welder holds.
func (m *maker) byWelder(list []app.SlipLook) Part {
	type sum struct {
		welder      string
		slips, over int64
		rods        int64
		first       measure.Instant
	}
	var all []sum
	for _, s := range list {
		i := slices.IndexFunc(all, func(x sum) bool { return x.welder == s.Slip.Welder })
		if i < 0 {
			i = len(all)
			all = append(all, sum{welder: s.Slip.Welder, first: s.Slip.At})
		}
		all[i].slips++
		all[i].rods += s.Slip.Pieces
		all[i].first = min(all[i].first, s.Slip.At)
		if s.Overdue != 0 {
			all[i].over++
		}
	}
	slices.SortFunc(all, func(a, b sum) int { return cmp.Compare(a.welder, b.welder) })
	p := Part{Name: "welders", Title: "by welder", Empty: "nobody held anything at " + m.when(m.At), Columns: []Column{
		{Name: "welder"}, {Name: "slips", Of: Numbers}, {Name: "rods", Of: Numbers}, {Name: "overdue", Of: Numbers}, {Name: "since", Of: Instants}}}
	for _, s := range all {
		p.add(word(s.welder), number(s.slips), number(s.rods), number(s.over), moment(s.first))
	}
	return p
}
