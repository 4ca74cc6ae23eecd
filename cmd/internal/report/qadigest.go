package report

import (
	"cmp"
	"fmt"
	"slices"

	"ovenward/alerts/alarm"
	"ovenward/inventory/measure"
)

var qaDigest = Report{Name: "qa-digest", Title: "digest for QA", Over: APeriod, Days: 1,
	Questions: []string{
		"What waits for QA?",
		"How many alarms of each kind began, and which stood at the end?",
		"What was out of the ordinary: overrides, late entries, corrections, imbalances?",
		"When was the ledger last verified, backed up, and a backup restored?",
	},
	make: func(m *maker) ([]Part, error) {
		waits, err := m.withQA()
		if err != nil {
			return nil, err
		}
		alarms, err := m.alarmsByKind()
		if err != nil {
			return nil, err
		}
		list, err := m.exceptionsIn()
		if err != nil {
			return nil, err
		}
		upkeep, err := m.upkeep()
		return []Part{waits, alarms, m.exceptionList(list), upkeep}, err
	}}

// alarmsByKind counts the alarms of each kind that began in the time, and those
// that stood at its end.
func (m *maker) alarmsByKind() (Part, error) {
	p := Part{Name: "alarms", Title: "alarms", Empty: "no alarm began " + m.period() + ", and none stood", Columns: []Column{
		{Name: "kind"}, {Name: "began", Of: Numbers}, {Name: "late", Of: Numbers}, {Name: "stand", Of: Numbers}, {Name: "subjects", Of: Names}}}
	type tally struct {
		began, late, stand int64
		subjects           []string
	}
	by := map[alarm.Kind]*tally{}
	of := func(k alarm.Kind, subject string) *tally {
		if by[k] == nil {
			by[k] = &tally{}
		}
		if !slices.Contains(by[k].subjects, subject) {
			by[k].subjects = append(by[k].subjects, subject)
		}
		return by[k]
	}
	list, err := m.app.AlarmsIn(m.ctx, m.From, m.To)
	if err != nil {
		return p, err
	}
	for _, a := range list {
		t := of(a.Kind, a.Subject)
		if a.Since >= m.From {
			t.began++
			if a.Late {
				t.late++
			}
		}
		if a.Cleared == nil || *a.Cleared >= m.To {
			t.stand++
		}
	}
	for _, k := range alarm.Kinds() {
		if t := by[k]; t != nil {
			p.add(word(k), number(t.began), number(t.late), number(t.stand), names(t.subjects))
		}
	}
	return p, m.setAside(&p)
}

// upkeep says when each kind of upkeep of the database was done last, and what it
// came to.
func (m *maker) upkeep() (Part, error) {
	p := Part{Name: "upkeep", Title: "ledger and backups", Columns: []Column{{Name: "what"}, {Name: "last", Of: Instants}, {Name: "age", Of: Spans},
		{Name: "facts", Of: Numbers}, {Name: "program"}, {Name: "found"}}}
	list, err := m.app.Upkeep(m.ctx)
	for _, u := range list {
		if u.Last.At == 0 {
			p.add(word(u.Kind), Blank("NEVER"), Blank(""), Blank(""), Blank(""), word("ovenward "+u.Kind.Command()))
			continue
		}
		found := cmp.Or(u.Last.Problem, "all well")
		if u.Last.Problem != "" && u.Good.At != 0 {
			found += fmt.Sprintf("; last well %s", m.when(u.Good.At))
		}
		p.add(word(u.Kind), moment(u.Last.At), span(max(m.printed.Sub(u.Last.At), 0)/measure.Minute*measure.Minute), number(u.Last.Facts), word(u.Last.Program), word(found))
	}
	return p, err
}
