package report

import (
	"cmp"
	"fmt"
	"slices"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
)

var exceptions = Report{Name: "exceptions", Title: "exceptions", Over: APeriod,
	Questions: []string{
		"What was done against a rule, by whose override and why?",
		"What was entered late, and what was corrected: as it stood and as it stands?",
		"What was done by somebody without authority, or against a rule that only warns?",
		"Who was turned away: a second filler, another class, a welder who is not on the card?",
		"What did a check of a sensor find that changes what was judged before it?",
		"Which issues name no joint, came back past the limit, or do not balance?",
	},
	make: func(m *maker) ([]Part, error) {
		list, err := m.exceptionsIn()
		return []Part{m.exceptionList(list), m.byMonth(list)}, err
	}}

// exceptionsIn returns the exceptions of the time, in the order in which they came
// to be known.
func (m *maker) exceptionsIn() ([]exception, error) {
	noted, err := m.app.Noted(m.ctx, m.From, m.To)
	if err != nil {
		return nil, err
	}
	list, err := m.reachedBack(noted)
	if err != nil {
		return nil, err
	}
	for _, n := range noted {
		list = append(list, m.exceptionsOf(n)...)
	}
	slips, err := m.app.SlipsIn(m.ctx, m.From, m.To)
	if err != nil {
		return nil, err
	}
	for _, s := range slips {
		list = append(list, m.unbalanced(s)...)
	}
	slices.SortStableFunc(list, func(a, b exception) int { return cmp.Compare(a.at, b.at) })
	return list, nil
}

// exception is one thing that an auditor wants to see.
type exception struct {
	at             measure.Instant // when it came to be known
	kind           string
	of, what       string
	by, other, why string // who; who else had a part in it
}

func (m *maker) exceptionList(list []exception) Part {
	p := Part{Name: "exceptions", Title: "exceptions", Empty: "no override, act without authority, late entry, correction, decision or imbalance " + m.period(), Columns: []Column{
		{Name: "when", Head: "entered", Of: Instants}, {Name: "kind"}, {Name: "of"}, {Name: "what"}, {Name: "by"}, {Name: "with"}, {Name: "why"}}}
	for _, x := range list {
		p.add(moment(x.at), word(x.kind), word(x.of), word(x.what), word(x.by), word(x.other), word(x.why))
	}
	return p
}

// byMonth counts the exceptions of each kind in each month.
func (m *maker) byMonth(list []exception) Part {
	p := Part{Name: "months", Title: "by month", Empty: "no exceptions " + m.period(), Columns: []Column{{Name: "month"}, {Name: "kind"}, {Name: "times", Of: Numbers}}}
	counts := map[[2]string]int64{}
	var keys [][2]string
	for _, x := range list {
		k := [2]string{x.at.Time().In(m.zone).Format("2006-01"), x.kind}
		if counts[k] == 0 {
			keys = append(keys, k)
		}
		counts[k]++
	}
	slices.SortFunc(keys, func(a, b [2]string) int { return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1])) })
	for _, k := range keys {
		p.add(word(k[0]), word(k[1]), number(counts[k]))
	}
	return p
}

// exceptionsOf returns what is exceptional about a fact.
func (m *maker) exceptionsOf(n app.Noted) (list []exception) {
	add := func(kind, what, other, why string) {
		list = append(list, exception{at: n.Fact.Noted, kind: kind, of: subjectOf(n.Entry), what: what, by: n.Fact.By, other: other, why: why})
	}
	if n.Was != nil {
		add("correction", fmt.Sprintf("was: %s at %s; is: %s at %s", m.toldOf(n.Was.Kind, n.Was.Body), m.when(n.Was.At), told(n.Entry), m.when(n.Fact.At)),
			n.Was.By, n.Fact.Reason)
	} else if late, ok := n.Fact.Late(); ok && n.Fact.Kind != "day" {
		add("late entry", fmt.Sprintf("%s, at %s, entered %s later", told(n.Entry), m.when(n.Fact.At), late.Words()), "", n.Fact.Reason)
	}
	if act := inventory.ActOf(n.Entry); act != nil {
		for _, o := range act.Overrode {
			add("override", fmt.Sprintf("%s; %s: %s%s", told(n.Entry), o.Code, o.Why, byRule(o.Rule)), act.Override.Proposer, act.Override.Why)
		}
		for _, f := range act.Flags {
			add(flagKind(f.Code), fmt.Sprintf("%s; %s", told(n.Entry), f.Why), act.Actor, "")
		}
	}
	switch e := n.Entry.(type) {
	case *inventory.TurnedAway:
		add("turned away", fmt.Sprintf("%s; %s: %s%s", told(e), e.Code, e.Why, byRule(e.Rule)), e.Welder, "")
	case *inventory.Decision:
		add("decision", told(e), e.Proposer, e.Why)
	case *inventory.Counted:
		if e.Why != "" {
			add("count", told(e), "", e.Why)
		}
	case *inventory.Issued:
		if len(e.Joints) == 0 {
			add("no joint", told(e), e.Welder, "")
		}
	case *inventory.Returned:
		if over := pastLimit(e.Judged); over > 0 {
			add("past the limit", fmt.Sprintf("%s, %s past the limit; rods may have been used past it%s", told(e), over.Words(), inJoints(e.Judged.Joints)), "", e.Judged.Why)
		}
		if e.Unidentified > 0 {
			add("unidentified", told(e), "", "")
		}
	}
	return list
}

// flagKind is the kind of exception that a flag makes.
func flagKind(c inventory.Code) string {
	if c == inventory.NotAuthorised {
		return "without authority"
	}
	return "against a rule"
}

func byRule(rule string) string {
	if rule == "" {
		return ""
	}
	return " (" + rule + ")"
}

// pastLimit returns by how much rods were over their limit when they were judged
// at their return; zero where they were not.
func pastLimit(j *inventory.Judged) measure.Duration {
	if j == nil {
		return 0
	}
	most, err := measure.ParseDuration(j.Most)
	limit, none := measure.ParseDuration(j.Limit)
	if err != nil || none != nil {
		return 0 // no clock ran for them
	}
	return max(0, most-limit)
}

func inJoints(joints []string) string {
	if len(joints) == 0 {
		return ", and no joint is named"
	}
	return " in " + commas(joints)
}

func (m *maker) toldOf(kind, body string) string {
	e, err := inventory.DecodeEntry(kind, body)
	if err != nil {
		return kind
	}
	return told(e)
}

// subjectOf is what a fact is of, by the name a person would look it up with.
func subjectOf(e inventory.Entry) string {
	switch e := e.(type) {
	case *inventory.Issued:
		return "slip " + e.Slip
	case *inventory.Returned:
		return "slip " + e.Slip
	case *inventory.Received:
		return "lot " + e.Lot
	case *inventory.LotReleased:
		return "lot " + e.Lot
	case *inventory.HeldBack:
		return firstOf("lot", e.Lot, e.Bundle)
	case *inventory.Opened:
		return e.Bundle
	case *inventory.Moved:
		return e.Bundle
	case *inventory.Baked:
		return e.Bundle
	case *inventory.WentWet:
		return e.Bundle
	case *inventory.Scrapped:
		return e.Bundle
	case *inventory.Counted:
		return e.Bundle
	case *inventory.Decision:
		return firstOf("lot", e.Lot, e.Bundle)
	case *inventory.Joined:
		return e.As
	case *inventory.Calibrated:
		return "sensor " + e.Sensor
	case *inventory.Noted:
		return firstOf("slip", e.Slip, e.Bundle)
	case *inventory.Proposed:
		return cmp.Or(e.Bundle, firstOf("lot", e.Lot, "slip "+e.Slip))
	case *inventory.TurnedAway:
		return "welder " + e.Welder
	case *inventory.PersonSet:
		return e.Person
	case *inventory.CertificateSet:
		return "lot " + e.Lot
	case *inventory.Extended:
		return "lot " + e.Lot
	case *inventory.JointSet:
		return "joint " + e.Joint
	case *inventory.JobSet:
		return "job " + e.Job
	case *inventory.OvenChecked:
		return e.Place
	case *inventory.ShutDown:
		return e.Place
	case *inventory.ClimateRead:
		return e.Place
	}
	return ""
}

// unbalanced returns what does not add up on a slip that came back.
func (m *maker) unbalanced(s inventory.Slip) []exception {
	if s.Closed < m.From || s.Closed >= m.To || s.Back.Stubs == 0 {
		return nil // stubs were not counted, or it came back at another time
	}
	missing := s.Back.Unaccounted(s.Pieces)
	if missing <= 0 {
		return nil
	}
	return []exception{{at: s.Closed, kind: "stubs missing", of: "slip " + s.Code, by: s.Welder,
		what: fmt.Sprintf("%d used, %d stubs: %d rods neither came back nor left a stub", s.Back.Used(s.Pieces), s.Back.Stubs, missing)}}
}
