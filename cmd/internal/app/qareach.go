package app

import (
	"fmt"
	"slices"

	"ovenward/alerts/alarm"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
	"ovenward/storage/ovendb"
)

// Mark is what a check of a sensor means for a bundle that is still here: a
// judgement on it, or on rods of it that went out, rested on a sensor that was
// found wrong.
type Mark struct {
	Sensor string              `json:"sensor"`
	Check  measure.Instant     `json:"checked_us"`
	Found  measure.Temperature `json:"-"` // shown above the true temperature
	Act    Act                 `json:"act"`
	At     measure.Instant     `json:"at_us"`
	Was    inventory.Verdict   `json:"was"`
	Is     inventory.Verdict   `json:"is"`
	More   int                 `json:"more"` // other judgements on the bundle that come out differently
}

// marks returns, by bundle, the checks of sensors that change what was judged of
// it, of those that QA has not decided about since. A check that found what was
// known changes nothing.
func (v *view) marks() (map[string][]Mark, error) {
	sensors, err := ovendb.Sensors(v.ctx, v.tx, v.site, "")
	if err != nil {
		return nil, err
	}
	all := map[string][]Mark{}
	for _, s := range sensors {
		made, err := ovendb.Calibrations(v.ctx, v.tx, v.site, s.Name)
		if err != nil {
			return nil, err
		}
		for i, c := range made {
			if c.At > v.at || !surprising(made[:i], c) {
				continue
			}
			r, err := v.reach(s, made, c)
			if err != nil {
				return nil, err
			}
			r.mark(all)
		}
	}
	return all, nil
}

// surprising reports whether a check found another error than was known.
func surprising(before []evidence.Calibration, c evidence.Calibration) bool {
	known := measure.Temperature(0)
	if n := len(before); n > 0 {
		known = before[n-1].Error
	}
	return c.HasFound && c.Found != known
}

// mark adds to the marks of bundles what a check changes: of several judgements
// on a bundle the first.
func (r Reach) mark(all map[string][]Mark) {
	first := map[string]int{}
	for _, c := range r.Changed {
		if i, known := first[c.Bundle]; known {
			all[c.Bundle][i].More++
			continue
		}
		first[c.Bundle] = len(all[c.Bundle])
		all[c.Bundle] = append(all[c.Bundle], Mark{Sensor: r.Sensor.Name, Check: r.Check.At, Found: r.Check.Found,
			Act: c.Act, At: c.At, Was: c.Was.Verdict, Is: c.Is.Verdict})
	}
}

// undecided leaves the marks of checks after which QA has not decided about the
// bundle.
func undecided(marks []Mark, h *inventory.History) []Mark {
	return slices.DeleteFunc(slices.Clone(marks), func(m Mark) bool {
		return slices.ContainsFunc(h.Events, func(e inventory.Event) bool {
			return e.Kind == inventory.Decided && e.At >= m.Check
		})
	})
}

// Says is a mark in words.
func (m Mark) Says(w alarm.Words) string {
	text := fmt.Sprintf("sensor %s was found to show %s too much at %s", m.Sensor, m.Found.Difference(w.Units), m.Check.In(w.Zone))
	if m.Found < 0 {
		text = fmt.Sprintf("sensor %s was found to show %s too little at %s", m.Sensor, (-m.Found).Difference(w.Units), m.Check.In(w.Zone))
	}
	text += fmt.Sprintf("; judged at %s (%s): was %s, is %s", m.At.In(w.Zone), m.Act, m.Was, m.Is)
	if m.More > 0 {
		text += fmt.Sprintf("; %d more of it come out differently", m.More)
	}
	return text + "; all of them: ovenward oven affected " + m.Sensor
}
