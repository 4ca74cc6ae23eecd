package report

import (
	"fmt"
	"slices"
	"strings"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/ruledb"
	"ovenward/storage/rules"
)

var rulesInForce = Report{Name: "rules", Title: "rule sets in force", Over: APeriod,
	Questions: []string{
		"Which rule set was in force for what, since when and until when, and who put it in force?",
		"What are its limits, from which source, and how well is each known?",
		"Who approved which edition, when, and which rows did they confirm?",
		"What changed against the set that was in force before?",
	},
	make: func(m *maker) ([]Part, error) {
		approved, _, err := m.app.RuleSets(m.ctx)
		if err != nil {
			return nil, err
		}
		approved = slices.DeleteFunc(approved, func(a ruledb.Approved) bool { return a.At >= m.To })
		uses, err := m.everInForce()
		if err != nil {
			return nil, err
		}
		approvals, err := m.approvals(approved)
		if err != nil {
			return nil, err
		}
		limits, err := m.limits(approved)
		if err != nil {
			return nil, err
		}
		changes, err := m.changes(approved, uses)
		return []Part{m.inForcePart(), approvals, limits, changes}, err
	}}

func (m *maker) inForcePart() Part {
	p := Part{Name: "in_force", Title: "in force", Empty: "no rule set was in force " + m.period() + ": nothing could be issued", Columns: []Column{
		{Name: "rules"}, {Name: "edition"}, {Name: "for"}, {Name: "from", Of: Instants}, {Name: "to", Of: Instants}, {Name: "put_in_force_by"}}}
	for _, r := range m.rules {
		whom := "the site"
		if r.Job != "" {
			whom = "job " + r.Job
		}
		p.add(word(r.ID), word(r.Edition), word(whom), moment(r.From), momentOr(r.To, "still"), word(r.By))
	}
	return p
}

// approvals lists who approved which set, whether it is in force or not.
func (m *maker) approvals(approved []ruledb.Approved) (Part, error) {
	p := Part{Name: "approvals", Title: "approved", Empty: "no rule set was ever approved at this site", Columns: []Column{
		{Name: "rules"}, {Name: "edition"}, {Name: "title"}, {Name: "units"}, {Name: "valid_from"}, {Name: "valid_to"}, {Name: "clock"}, {Name: "approved_by"},
		{Name: "approved", Of: Instants}, {Name: "confirmed", Head: "rows confirmed", Of: Names}, {Name: "digest", Spare: 1}}}
	facts, err := m.app.Happened(m.ctx, 0, 0, "rules")
	if err != nil {
		return p, err
	}
	confirmed := map[string][]string{}
	for _, f := range facts {
		e := f.Entry.(*inventory.RulesApproved)
		confirmed[e.ID] = e.Confirmed
	}
	for _, a := range approved {
		s, err := a.Set()
		if err != nil {
			return p, err
		}
		p.add(word(a.ID), word(a.Edition), word(s.Title), word(s.UnitSystem), word(orNever(s.ValidFrom, "not stated")), word(orNever(s.ValidTo, "open")),
			word(s.Clock.Policy), word(a.By), moment(a.At), names(confirmed[a.ID]), word(a.Digest))
	}
	return p, nil
}

func orNever(d measure.Date, otherwise string) string {
	if d == "" {
		return otherwise
	}
	return string(d)
}

// limits lists every row of the sets in force.
func (m *maker) limits(approved []ruledb.Approved) (Part, error) {
	p := Part{Name: "limits", Title: "limits", Empty: "no rule set was in force " + m.period(), Columns: []Column{
		{Name: "rules"}, {Name: "kind"}, {Name: "row"}, {Name: "says"}, {Name: "status"}, {Name: "source"}, {Name: "note", Spare: 1}}}
	for _, id := range m.setsInForce() {
		s, err := setOf(approved, id)
		if err != nil {
			return p, err
		}
		for _, said := range s.Describe() {
			p.add(word(id), word(said.Kind), word(said.Row), word(said.Says), word(said.Status), word(said.Source), word(said.Note))
		}
	}
	return p, nil
}

// setsInForce names each set in force once.
func (m *maker) setsInForce() (ids []string) {
	for _, r := range m.rules {
		if !slices.Contains(ids, r.ID) {
			ids = append(ids, r.ID)
		}
	}
	return ids
}

func setOf(approved []ruledb.Approved, id string) (*rules.Set, error) {
	i := slices.IndexFunc(approved, func(a ruledb.Approved) bool { return a.ID == id })
	if i < 0 {
		return nil, fmt.Errorf("rule set %s is in force and was not approved", id)
	}
	return approved[i].Set()
}

// changes lists, for each set in force that took another's place, what it says
// otherwise.
func (m *maker) changes(approved []ruledb.Approved, uses []InForce) (Part, error) {
	p := Part{Name: "changes", Title: "changed against the set before", Empty: "no rule set took another's place", Columns: []Column{
		{Name: "rules"}, {Name: "before"}, {Name: "from", Of: Instants}, {Name: "kind"}, {Name: "row"}, {Name: "was"}, {Name: "is"}}}
	for i, u := range uses {
		before := slices.IndexFunc(uses[:i], func(o InForce) bool { return o.Job == u.Job && o.To == u.From })
		if before < 0 || uses[before].ID == u.ID || !slices.Contains(m.rules, u) {
			continue
		}
		was, err := setOf(approved, uses[before].ID)
		if err != nil {
			return p, err
		}
		is, err := setOf(approved, u.ID)
		if err != nil {
			return p, err
		}
		for _, c := range compared(was, is) {
			p.add(word(u.ID), word(was.ID), moment(u.From), word(c.kind), word(c.row), orBlank(c.was, "not there"), orBlank(c.is, "taken out"))
		}
	}
	return p, nil
}

func orBlank(text, otherwise string) Cell {
	if text == "" {
		return Blank(otherwise)
	}
	return word(text)
}

// change is a row, or a policy, that two sets do not say alike.
type change struct{ kind, row, was, is string }

// compared returns what a set says otherwise than another, policies first, then
// rows in the order of the new set and those that are gone.
func compared(was, is *rules.Set) (all []change) {
	before := said(was)
	for _, row := range said(is) {
		i := slices.IndexFunc(before, func(o change) bool { return o.kind == row.kind && o.row == row.row })
		switch {
		case i < 0:
			all = append(all, change{row.kind, row.row, "", row.is})
		case before[i].is != row.is:
			all = append(all, change{row.kind, row.row, before[i].is, row.is})
		}
	}
	now := said(is)
	for _, row := range before {
		if !slices.ContainsFunc(now, func(o change) bool { return o.kind == row.kind && o.row == row.row }) {
			all = append(all, change{row.kind, row.row, row.is, ""})
		}
	}
	return all
}

// said is what a set says, policies and rows, one by one.
func said(s *rules.Set) []change {
	all := []change{
		{kind: "policy", row: "edition", is: s.Edition},
		{kind: "policy", row: "units", is: string(s.UnitSystem)},
		{kind: "policy", row: "clock", is: fmt.Sprintf("%s, warning at %d %%, at the limit %s", s.Clock.Policy, s.Clock.WarnPercent, s.Clock.ReturnAtLimit)},
		{kind: "policy", row: "evidence", is: fmt.Sprintf("readings at most %s apart, where missing %s", s.Evidence.MaxGap.Words(), s.Evidence.Missing)},
		{kind: "policy", row: "bakes", is: fmt.Sprintf("at most %d, the first of unsealed stock counts: %t, load lag %s", s.Bakes.Max, s.Bakes.FirstCounts, s.Bakes.LoadLag)},
	}
	for _, r := range s.Describe() {
		all = append(all, change{kind: r.Kind, row: r.Row, is: strings.Join([]string{r.Says, r.Source, string(r.Status)}, "; ")})
	}
	return all
}

// says returns what a row of an approved set says in words.
func (m *maker) says(id, row string) (string, error) {
	if m.sets == nil {
		m.sets = map[string]*rules.Set{}
	}
	s, ok := m.sets[id]
	if !ok {
		approved, _, err := m.app.RuleSets(m.ctx)
		if err != nil {
			return "", err
		}
		if s, err = setOf(approved, id); err != nil {
			return "", err
		}
		m.sets[id] = s
	}
	for _, r := range s.Describe() {
		if r.Row == row {
			return row + ": " + r.Says, nil
		}
	}
	return row, nil
}
