package report

import (
	"fmt"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/ledger"
)

// reachedBack returns what the checks of sensors that were recorded in the time
// of the report change in what was judged before them.
func (m *maker) reachedBack(noted []app.Noted) (list []exception, err error) {
	for _, n := range noted {
		if _, ok := n.Entry.(*inventory.Calibrated); !ok {
			continue
		}
		found, err := m.reach(n.Fact, n.Entry)
		if err != nil {
			return nil, err
		}
		list = append(list, found...)
	}
	return list, nil
}

// reach returns what one check of a sensor changes.
func (m *maker) reach(f ledger.Fact, e inventory.Entry) (list []exception, err error) {
	sensor := e.(*inventory.Calibrated).Sensor
	r, err := m.app.Affected(m.ctx, sensor, f.At)
	for _, c := range r.Changed {
		if r.Check.Due != 0 && r.Check.Due <= c.At && c.Is.Verdict == inventory.QAHold {
			continue // it is past the date of that check itself, which is told elsewhere
		}
		what := fmt.Sprintf("%s, %s at %s: judged %s: %s; by what the check of sensor %s found, %s: %s", c.Bundle, c.Act, m.when(c.At),
			c.Was.Verdict, c.Was.Why, sensor, c.Is.Verdict, c.Is.Why)
		if len(c.Joints) > 0 {
			what += "; rods went into " + commas(c.Joints)
		}
		list = append(list, exception{at: f.Noted, kind: "reached back", of: firstOf("slip", c.Slip, c.Bundle), what: what, by: f.By})
	}
	return list, err
}

// reaches lists what the checks of the time asked about change in what was
// judged before them.
func (m *maker) reaches() (Part, error) {
	p := Part{Name: "reach", Title: "what their checks change in what was judged before", Columns: []Column{
		{Name: "checked", Of: Instants}, {Name: "sensor"}, {Name: "as_found", Head: "found to show too much"}, {Name: "of"}, {Name: "what"}},
		Empty: "no check of a sensor changed anything that was judged before it " + m.period()}
	checks, err := m.app.Happened(m.ctx, m.From, m.To, "calibrate")
	if err != nil {
		return p, err
	}
	for _, f := range checks {
		found, err := m.reach(f.Fact, f.Entry)
		if err != nil {
			return p, err
		}
		e := f.Entry.(*inventory.Calibrated)
		for _, x := range found {
			p.add(moment(f.Fact.At), word(e.Sensor), orBlank(e.AsFound, e.Error), word(x.of), word(x.what))
		}
	}
	return p, nil
}
