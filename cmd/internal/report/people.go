package report

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/inventory/peopledb"
)

var people = Report{Name: "people", Title: "authorised people and training", Over: APeriod,
	Questions: []string{
		"Who might issue, release and decide at the end of the time asked about, and since when?",
		"Who was trained on which rule set, and when?",
		"Who worked at the window in that time, and might they?",
	},
	make: func(m *maker) ([]Part, error) {
		list, err := m.app.People(m.ctx, m.To-1)
		if err != nil {
			return nil, err
		}
		work, err := m.workDone(list)
		return []Part{m.roll(list), m.training(list), work}, err
	}}

// everybody is said where nobody is set up.
const everybody = "nobody is set up at this site: everybody may do everything. QA sets people up: ovenward person add"

// roll lists everybody who was ever set up.
func (m *maker) roll(list []app.Member) Part {
	p := Part{Name: "people", Title: "who may do what", Empty: everybody, Columns: []Column{{Name: "badge"}, {Name: "name"}, {Name: "roles", Of: Names},
		{Name: "since"}, {Name: "until"}, {Name: "may_issue", Of: Flags}, {Name: "may_decide", Of: Flags}, {Name: "state"}}}
	day := measure.DateOf(m.To-1, m.zone)
	for _, x := range list {
		state := "in office"
		switch {
		case x.Until != "" && x.Until < day:
			state = "LEFT"
		case !slices.ContainsFunc(x.Roles, inventory.Role.Office):
			state = "takes rods only"
		}
		may := func(kind string) flag { return flag(state != "LEFT" && holdsAny(x.Roles, inventory.MayRecord(kind))) }
		p.add(word(x.Badge), word(x.Name), names(rolesOf(x)), word(x.Since), orBlank(string(x.Until), "no end"), may("issue"), may("decide"), word(state))
	}
	return p
}

func rolesOf(x app.Member) []string {
	out := make([]string, len(x.Roles))
	for i, r := range x.Roles {
		out[i] = string(r)
	}
	return out
}

func holdsAny(has, asked []inventory.Role) bool {
	return slices.ContainsFunc(has, func(r inventory.Role) bool { return slices.Contains(asked, r) })
}

// training lists who was trained on what, and of those who may issue the rule
// sets in force that they were not trained on.
func (m *maker) training(list []app.Member) Part {
	p := Part{Name: "training", Title: "who was trained on which rules", Empty: "nobody was trained on a rule set by " + m.when(m.To), Columns: []Column{
		{Name: "badge"}, {Name: "name"}, {Name: "rules"}, {Name: "on"}, {Name: "state"}}}
	day := measure.DateOf(m.To-1, m.zone)
	for _, x := range list {
		for _, t := range x.Trained {
			state := "not in force in the time asked about"
			if slices.ContainsFunc(m.rules, func(r InForce) bool { return r.ID == t.Rules }) {
				state = "in force"
			}
			p.add(word(x.Badge), word(x.Name), word(t.Rules), word(t.On), word(state))
		}
		if !holdsAny(x.Roles, inventory.MayRecord("issue")) || (x.Until != "" && x.Until < day) {
			continue
		}
		for _, id := range m.idsInForce() {
			if !slices.ContainsFunc(x.Trained, func(t peopledb.Trained) bool { return t.Rules == id }) {
				p.add(word(x.Badge), word(x.Name), word(id), Blank("never"), word("MAY ISSUE AND WAS NOT TRAINED"))
			}
		}
	}
	return p
}

// idsInForce are the rule sets of the time that the report speaks of.
func (m *maker) idsInForce() []string {
	ids := make([]string, len(m.rules))
	for i, r := range m.rules {
		ids[i] = r.ID
	}
	slices.Sort(ids)
	return slices.Compact(ids)
}

// worked is what one badge did in the time of a report.
type worked struct {
	issues, returns, bakes, decisions, unauthorised int64
	first, last                                     measure.Instant
}

// workDone lists who did what at the window and in QA.
func (m *maker) workDone(list []app.Member) (Part, error) {
	p := Part{Name: "work", Title: "who worked", Empty: "nobody issued, took back, baked, released or decided anything " + m.period(), Columns: []Column{
		{Name: "badge"}, {Name: "name"}, {Name: "issues", Of: Numbers}, {Name: "returns", Of: Numbers}, {Name: "bakes", Of: Numbers},
		{Name: "decisions", Head: "released or decided", Of: Numbers}, {Name: "first", Of: Instants}, {Name: "last", Of: Instants},
		{Name: "unauthorised", Of: Numbers}, {Name: "state"}}}
	facts, err := m.app.Happened(m.ctx, m.From, m.To, "issue", "return", "bake", "release", "decide")
	if err != nil {
		return p, err
	}
	done := map[string]*worked{}
	for _, f := range facts {
		w := done[doer(f)]
		if w == nil {
			w = &worked{first: f.Fact.At}
			done[doer(f)] = w
		}
		w.count(f)
	}
	for _, badge := range slices.Sorted(maps.Keys(done)) {
		w := done[badge]
		i := slices.IndexFunc(list, func(x app.Member) bool { return x.Badge == badge })
		name, state := "", "set up"
		switch {
		case len(list) == 0:
			state = "nobody is set up"
		case i < 0:
			state = "NOT SET UP"
		default:
			name = list[i].Name
		}
		if w.unauthorised > 0 {
			state += ", ACTED WITHOUT AUTHORITY"
		}
		p.add(word(badge), word(name), number(w.issues), number(w.returns), number(w.bakes), number(w.decisions), moment(w.first), moment(w.last),
			number(w.unauthorised), word(state))
	}
	return p, nil
}

// doer is who did what a fact says, where another recorded it.
func doer(f app.Recorded) string {
	if act := inventory.ActOf(f.Entry); act != nil {
		return cmp.Or(act.Actor, f.By())
	}
	return f.By()
}

func (w *worked) count(f app.Recorded) {
	w.last = f.Fact.At
	switch f.Entry.(type) {
	case *inventory.Issued:
		w.issues++
	case *inventory.Returned:
		w.returns++
	case *inventory.Baked:
		w.bakes++
	default:
		w.decisions++
	}
	act := inventory.ActOf(f.Entry)
	if act != nil && slices.ContainsFunc(act.Flags, func(x inventory.Flag) bool { return x.Code == inventory.NotAuthorised && isAbout(x.Why, doer(f)) }) {
		w.unauthorised++
	}
}

// isAbout reports whether a sentence names a badge: a flag may be of the welder
// and not of who handed out.
func isAbout(why, badge string) bool {
	apart := func(r rune) bool { return strings.ContainsRune(" ,.:;()", r) }
	return slices.Contains(strings.FieldsFunc(why, apart), badge)
}
