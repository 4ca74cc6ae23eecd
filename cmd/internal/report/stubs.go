package report

import (
	"cmp"
	"fmt"
	"slices"

	"ovenward/inventory"
)

var stubs = Report{Name: "stubs", Title: "stub and return balance", Over: APeriod,
	Questions: []string{
		"Does each slip balance: issued = unused + used + damaged + unidentified?",
		"Which share of the used rods left a stub, by welder and stage, against the site's targets?",
		"Do the books agree with what was counted, lot by lot and owner by owner?",
	},
	make: func(m *maker) ([]Part, error) {
		slips, err := m.app.SlipsIn(m.ctx, m.From, m.To)
		if err != nil {
			return nil, err
		}
		stages, err := m.stages(slips)
		if err != nil {
			return nil, err
		}
		lots, err := m.lotBalance()
		if err != nil {
			return nil, err
		}
		counts, err := m.counts()
		return slices.Concat([]Part{m.recovery(slips, stages), m.slipBalance(slips, stages)}, lots, []Part{counts}), err
	}}

// stages returns the stage of the work that each issue was for, by slip. A slip
// that came back in the time may have gone out before it.
func (m *maker) stages(slips []inventory.Slip) (map[string]string, error) {
	from := m.From
	for _, s := range slips {
		from = min(from, s.At)
	}
	issues, err := m.app.Happened(m.ctx, from, m.To, "issue")
	stages := map[string]string{}
	for _, f := range issues {
		e := f.Entry.(*inventory.Issued)
		stages[e.Slip] = e.Stage
	}
	return stages, err
}

// recovered is what a welder drew and gave back at one stage.
type recovered struct {
	welder, stage  string
	slips          int64
	issued, unused int64
	damaged        int64 // and unidentified
	stubs          int64
}

func (r recovered) used() int64 { return r.issued - r.unused - r.damaged }

// recovery adds up the slips that came back, by welder and stage. The rate is
// stubs by rods used.
func (m *maker) recovery(slips []inventory.Slip, stages map[string]string) Part {
	p := Part{Name: "welders", Title: "stub recovery by welder and stage", Empty: "no rods came back " + m.period(), Columns: []Column{
		{Name: "welder"}, {Name: "stage"}, {Name: "slips", Of: Numbers}, {Name: "issued", Of: Numbers}, {Name: "unused", Of: Numbers},
		{Name: "damaged", Head: "damaged, no mark", Of: Numbers}, {Name: "used", Of: Numbers}, {Name: "stubs", Of: Numbers}, {Name: "missing", Of: Numbers},
		{Name: "recovery", Of: Shares}, {Name: "target", Of: Shares}, {Name: "verdict"}}}
	for _, r := range m.byWelderAndStage(slips, stages) {
		rate, verdict := Cell(Blank("nothing used")), word("nothing used")
		target, has := m.site.Stubs.For(r.stage)
		if r.used() > 0 {
			percent := float64(r.stubs) * 100 / float64(r.used())
			rate, verdict = share(percent), word(m.recoveryVerdict(percent, r.stage))
		}
		goal := Cell(Blank("none set"))
		if has {
			goal = share(target)
		}
		p.add(word(r.welder), orBlank(r.stage, "not stated"), number(r.slips), number(r.issued), number(r.unused), number(r.damaged), number(r.used()),
			number(r.stubs), number(r.used()-r.stubs), rate, goal, verdict)
	}
	p.note("Of the slips closed %s. Used = issued - unused - damaged - without a mark; recovery = stubs / used.", m.period())
	if m.site.Stubs.String() == "" {
		p.note("No targets are set: ovenward setup --stubs ground=97,erection=95,charge=90")
	}
	return p
}

func (m *maker) byWelderAndStage(slips []inventory.Slip, stages map[string]string) (all []recovered) {
	for _, s := range slips {
		if s.Closed < m.From || s.Closed >= m.To || s.Closed == 0 || s.Pieces == 0 {
			continue
		}
		stage := stages[s.Code]
		i := slices.IndexFunc(all, func(r recovered) bool { return r.welder == s.Welder && r.stage == stage })
		if i < 0 {
			i = len(all)
			all = append(all, recovered{welder: s.Welder, stage: stage})
		}
		r := &all[i]
		r.slips++
		r.issued += s.Pieces
		r.unused += s.Back.Unused
		r.damaged += s.Back.Damaged + s.Back.Unidentified
		r.stubs += s.Back.Stubs
	}
	slices.SortFunc(all, func(a, b recovered) int {
		return cmp.Or(cmp.Compare(a.welder, b.welder), cmp.Compare(a.stage, b.stage))
	})
	return all
}

// recoveryVerdict sets a rate against the targets: that of the stage, or where
// none is stated each of them.
func (m *maker) recoveryVerdict(percent float64, stage string) string {
	t := m.site.Stubs
	var says []string
	for _, s := range t.Stages {
		switch {
		case stage != "" && s.Stage != stage:
		case percent < s.Percent:
			says = append(says, fmt.Sprintf("BELOW the %s target of %g %%", s.Stage, s.Percent))
		default:
			says = append(says, fmt.Sprintf("meets the %s target of %g %%", s.Stage, s.Percent))
		}
	}
	switch {
	case t.Charge == 0:
	case percent < t.Charge:
		says = append(says, fmt.Sprintf("CHARGE: below %g %%", t.Charge))
	default:
		says = append(says, "no charge")
	}
	if len(says) == 0 {
		return "no target is set"
	}
	return commas(says)
}

// slipBalance lists each slip with what came back of it.
func (m *maker) slipBalance(slips []inventory.Slip, stages map[string]string) Part {
	p := Part{Name: "slips", Title: "slip by slip", Empty: "nothing went out or came back " + m.period(), Columns: []Column{
		{Name: "slip"}, {Name: "welder"}, {Name: "stage"}, {Name: "lot"}, {Name: "out", Of: Instants}, {Name: "back", Of: Instants}, {Name: "issued"},
		{Name: "unused"}, {Name: "used"}, {Name: "stubs", Of: Numbers}, {Name: "damaged", Of: Numbers}, {Name: "unidentified", Head: "no mark", Of: Numbers},
		{Name: "balance"}}}
	for _, s := range slips {
		p.add(word(s.Code), word(s.Welder), orBlank(stages[s.Code], "not stated"), word(s.Lot), moment(s.At), momentOr(s.Closed, "still out"), amount(s.Pieces, s.Mass),
			amount(s.Back.Unused, s.Back.UnusedMass), used(s), number(s.Back.Stubs), number(s.Back.Damaged), number(s.Back.Unidentified), word(balanceOf(s)))
	}
	return p
}

func balanceOf(s inventory.Slip) string {
	switch missing := s.Back.Unaccounted(s.Pieces); {
	case s.Closed == 0:
		return "open"
	case s.Mass != 0:
		return "weighed"
	case missing > 0 && s.Back.Stubs == 0:
		return "stubs not counted"
	case missing > 0:
		return fmt.Sprintf("%d stubs MISSING", missing)
	}
	return "closed"
}
