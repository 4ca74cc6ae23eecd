package report

import (
	"ovenward/cmd/internal/app"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
	"ovenward/storage/evidence"
)

var calibration = Report{Name: "calibration", Title: "calibration status", Over: APeriod,
	Questions: []string{
		"Which sensors are overdue for a check, or were in the time asked about?",
		"Which readings depend on them?",
		"Which stock was judged by those readings?",
		"What did a check find that changes what was judged before it?",
	},
	make: func(m *maker) ([]Part, error) {
		sensors, err := m.app.Sensors(m.ctx)
		if err != nil {
			return nil, err
		}
		stays, err := m.app.Heated(m.ctx, m.From, m.To)
		if err != nil {
			return nil, err
		}
		lapses := m.lapses(sensors)
		overdue, err := m.overdue(lapses)
		if err != nil {
			return nil, err
		}
		stock, err := m.dependent(lapses, stays)
		if err != nil {
			return nil, err
		}
		reach, err := m.reaches()
		return []Part{m.sensorStatus(sensors), overdue, stock, reach}, err
	}}

// sensorStatus lists every sensor with its last check.
func (m *maker) sensorStatus(sensors []app.CheckedSensor) Part {
	p := Part{Name: "sensors", Title: "sensors", Empty: "no sensor is set up at this site", Columns: []Column{
		{Name: "sensor"}, {Name: "place"}, {Name: "checked", Of: Instants}, {Name: "error", Head: "shows above the truth", Of: Heats}, {Name: "due", Of: Instants},
		{Name: "state"}}}
	for _, s := range sensors {
		last := lastCheck(s.Checks, m.To)
		if last == nil {
			p.add(word(s.Name), word(s.Place), Blank("never"), Blank("not known"), Blank("none set"), word("NEVER CHECKED: taken as showing the truth"))
			continue
		}
		state := "in date"
		switch {
		case last.Due == 0:
			state = "no next check is set"
		case last.Due <= m.To:
			state = "OVERDUE for " + m.To.Sub(last.Due).Words()
		case last.Due.Sub(m.To) <= soon*measure.Day:
			state = "due in " + last.Due.Sub(m.To).Words()
		}
		p.add(word(s.Name), word(s.Place), moment(last.At), difference(last.Error), momentOr(last.Due, "none set"), word(state))
	}
	return p
}

// difference is a difference of temperatures, which has no zero point.
type difference measure.Temperature

func (difference) kind() Kind { return Heats }
func (d difference) text(s style) string {
	if s.units == measure.US {
		return decimal(float64(d)/float64(measure.FahrenheitDegree)) + " °F"
	}
	return decimal(float64(d)/float64(measure.Degree)) + " °C"
}
func (d difference) flat(style) string { return decimal(float64(d) / float64(measure.Degree)) }
func (d difference) value() any        { return float64(d) / float64(measure.Degree) }

// lastCheck returns the newest check made by an instant; nil where there is
// none.
func lastCheck(checks []evidence.Calibration, by measure.Instant) *evidence.Calibration {
	var last *evidence.Calibration
	for i := range checks {
		if checks[i].At < by {
			last = &checks[i]
		}
	}
	return last
}

// lapse is a time in which a sensor was past the date of its check.
type lapse struct {
	app.CheckedSensor
	from, to measure.Instant
}

// lapses returns those that have any time in the period. One ends with the next
// check.
func (m *maker) lapses(sensors []app.CheckedSensor) (all []lapse) {
	for _, s := range sensors {
		for i, c := range s.Checks {
			until := m.To
			if i+1 < len(s.Checks) {
				until = min(until, s.Checks[i+1].At)
			}
			if from := max(c.Due, m.From); c.Due != 0 && from < until {
				all = append(all, lapse{s, from, until})
			}
		}
	}
	return all
}

// overdue lists the lapses with the readings that prove nothing for them.
func (m *maker) overdue(lapses []lapse) (Part, error) {
	p := Part{Name: "overdue", Title: "past the date of their check", Empty: "no sensor was past the date of its check " + m.period(), Columns: []Column{
		{Name: "sensor"}, {Name: "place"}, {Name: "from", Of: Instants}, {Name: "to", Of: Instants}, {Name: "lasted", Of: Spans},
		{Name: "readings", Head: "readings that prove nothing", Of: Numbers}, {Name: "first", Of: Instants}, {Name: "last", Of: Instants}}}
	for _, l := range lapses {
		list, err := m.app.ReadBetween(m.ctx, l.Name, l.from, l.to-1)
		if err != nil {
			return p, err
		}
		first, last := Cell(Blank("none")), Cell(Blank("none"))
		if n := len(list); n > 0 {
			first, last = moment(list[0].At), moment(list[n-1].At)
		}
		p.add(word(l.Name), word(l.Place), moment(l.from), moment(l.to), span(l.to.Sub(l.from)), number(len(list)), first, last)
	}
	return p, nil
}

// dependent lists the stock that was in a place while its sensor lapsed.
func (m *maker) dependent(lapses []lapse, stays []stockdb.Content) (Part, error) {
	p := Part{Name: "stock", Title: "stock that depends on them", Empty: "no stock was in a heated place whose sensor was past the date of its check " + m.period(),
		Columns: []Column{{Name: "sensor"}, {Name: "place"}, {Name: "bundle"}, {Name: "lot"}, {Name: "class"}, {Name: "from", Of: Instants}, {Name: "to", Of: Instants},
			{Name: "slip"}, {Name: "now"}}}
	for _, l := range lapses {
		for _, c := range stays {
			from, to := max(l.from, c.Stay.From), l.to
			if c.Stay.To != 0 {
				to = min(to, c.Stay.To)
			}
			if c.Stay.Place.Name != l.Place || c.Stay.Sealed || from >= to {
				continue
			}
			b, err := m.app.Bundle(m.ctx, c.Bundle)
			if err != nil {
				return p, err
			}
			lot, err := m.lot(b.Lot)
			if err != nil {
				return p, err
			}
			p.add(word(l.Name), word(l.Place), word(b.Code), word(b.Lot), word(lot.Mark.Canonical), moment(from), moment(to), orBlank(c.Stay.Slip, "in the crib"),
				word(whereNow(b.Empty(), b.Place.Name, b.Slip)))
		}
	}
	return p, nil
}

func whereNow(empty bool, place, slip string) string {
	switch {
	case empty:
		return "used up or parted: ovenward trace shows where it went"
	case slip != "":
		return "out on slip " + slip
	}
	return "in " + place
}
