package report

import (
	"errors"
	"strings"

	"ovenward/alerts/alarmdb"
	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
)

func commas(list []string) string { return strings.Join(list, ", ") }

// raised is an alarm that began in the time of a report.
type raised struct{ alarmdb.Alarm }

// said is what the alarm says, with a mark where nobody was called for it.
func (a raised) said() string {
	if a.Afterwards {
		return a.What + " (found afterwards, by readings that came in later)"
	}
	return a.What
}

func (m *maker) raised() (list []raised, err error) {
	all, err := m.app.AlarmsIn(m.ctx, m.From, m.To)
	for _, a := range all {
		list = append(list, raised{a})
	}
	return list, err
}

// alerts lists the alarms that stood at any time of the report.
func (w shiftWork) alerts(m *maker) Part {
	p := Part{Name: "alerts", Title: "alarms", Empty: "no alarm was recorded " + m.period(), Columns: []Column{
		{Name: "shift"}, {Name: "since", Of: Instants}, {Name: "raised", Of: Instants}, {Name: "late"}, {Name: "kind"}, {Name: "subject"}, {Name: "what"},
		{Name: "over", Of: Instants}, {Name: "over_late", Of: Flags}}}
	p.Columns[3].Of = Flags
	for _, a := range w.alarms {
		over := Cell(Blank("still stands"))
		if a.Cleared != nil {
			over = moment(*a.Cleared)
		}
		p.add(word(w.of(a.Since)), moment(a.Since), moment(a.Raised), flag(a.Late), word(a.Kind), word(a.Subject), word(a.said()), over, flag(a.Noted != nil))
	}
	if len(p.Rows) == 0 {
		p.note("Alarms are recorded by the watch: ovenward watch.")
	}
	return p
}

// shiftChecks says for each shift and heated place how it was read: readings are
// the checks, and time that they prove nothing of is a check missed.
func (m *maker) shiftChecks(shifts []inventory.Duty) (Part, error) {
	p := Part{Name: "checks", Title: "oven checks", Empty: "no heated place of which the rules ask anything is set up", Columns: []Column{
		{Name: "shift"}, {Name: "place"}, {Name: "readings", Of: Numbers}, {Name: "in_range", Of: Spans}, {Name: "too_cold", Of: Spans}, {Name: "too_hot", Of: Spans},
		{Name: "unproven", Of: Spans}, {Name: "check"}}}
	places, err := m.app.Places(m.ctx)
	if err != nil {
		return p, err
	}
	for _, place := range places {
		if place.Kind != inventory.HoldingOven {
			continue
		}
		h, err := m.app.OvenHistory(m.ctx, place.Name, m.From, m.To)
		if _, ok := errors.AsType[*inventory.Refusal](err); ok {
			continue // no rule asks anything of it
		}
		if err != nil {
			return p, err
		}
		readings, err := m.app.Readings(m.ctx, place.Name, m.From, m.To)
		if err != nil {
			return p, err
		}
		for _, d := range shifts {
			p.check(d, h, readings)
		}
	}
	return p, nil
}

func (p *Part) check(d inventory.Duty, h app.OvenHistory, sensors []app.SensorReadings) {
	var n int64
	for _, s := range sensors {
		for _, r := range s.List {
			if d.Has(r.At) {
				n++
			}
		}
	}
	var times [4]measure.Duration // by finding
	for _, s := range h.Stretches {
		if from, to := max(s.From, d.From), min(s.To, d.To); from < to {
			times[s.Finding] += to.Sub(from)
		}
	}
	done := "done"
	switch {
	case n == 0:
		done = "MISSED: not read at all"
	case times[evidence.Unproven] > 0:
		done = "MISSED for " + times[evidence.Unproven].Words()
	}
	p.add(word(d.String()), word(h.Place.Name), number(n), span(times[evidence.InRange]), span(times[evidence.TooCold]), span(times[evidence.TooHot]),
		span(times[evidence.Unproven]), word(done))
}

// mostEnds is of how many shifts what was open at their end is listed: each is
// judged anew.
const mostEnds = 100

// openAtEnd lists what was out at the end of each shift, or is out now where it
// is not over.
func (m *maker) openAtEnd(shifts []inventory.Duty) (Part, error) {
	p := Part{Name: "open", Title: "open at the end of the shift", Empty: "no issue was open at the end of a shift " + m.period(), Columns: []Column{
		{Name: "shift"}, {Name: "at", Of: Instants}, {Name: "welder"}, {Name: "slip"}, {Name: "class"}, {Name: "amount"}, {Name: "out", Of: Instants},
		{Name: "out_for", Of: Spans}, {Name: "due", Of: Instants}, {Name: "state"}}}
	if len(shifts) > mostEnds {
		p.note("Of the last %d shifts only.", mostEnds)
		shifts = shifts[len(shifts)-mostEnds:]
	}
	for _, d := range shifts {
		end := min(d.To, m.At)
		list, err := m.app.Out(m.ctx, end)
		if err != nil {
			return p, err
		}
		for _, s := range list {
			state := "within the limit"
			if s.Overdue != 0 {
				state = "OVERDUE since " + s.Overdue.Minute().Clock(m.zone, end)
			}
			p.add(word(d.String()), moment(end), word(s.Slip.Welder), word(s.Slip.Code), word(s.Lot.Mark.Canonical), amount(s.Slip.Pieces, s.Slip.Mass),
				moment(s.Slip.At), span(end.Sub(s.Slip.At)), momentOr(s.Judgement.Due, "not in sight"), word(state))
		}
	}
	return p, nil
}
