package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"ovenward/cmd/internal/app"
	"ovenward/inventory/measure"
	"ovenward/storage/chart"
	"ovenward/storage/evidence"
)

// ovenChart draws what an oven went through.
func ovenChart(h app.OvenHistory, zone *time.Location) chart.Chart {
	c := chart.Chart{Zone: zone, Units: h.Units, From: h.From, To: h.To, MaxGap: h.Gap, Curves: curves(h.Shown)}
	c.Title = fmt.Sprintf("%s, a %s, %s to %s", h.Place.Name, h.Place.Kind, when(h.From, zone), when(h.To, zone))
	if h.Asked.Min != "" {
		c.Limits = append(c.Limits, chart.Limit{At: h.Asked.Band.Min, Says: "at least " + h.Asked.Min + " (" + h.Asked.Name() + ")"})
	}
	if h.Asked.Max != "" {
		c.Limits = append(c.Limits, chart.Limit{At: h.Asked.Band.Max, Upper: true, Says: "at most " + h.Asked.Max + " (" + h.Asked.Name() + ")"})
	}
	c.Says = c.Title + ". Temperatures in " + unitOf(h.Units) + " over the site's time. Asked: " + h.Asked.String() + "."
	for _, f := range []evidence.Finding{evidence.TooCold, evidence.TooHot, evidence.Unproven} {
		if lane := findingLane(h, f); len(lane.Stretches) > 0 {
			c.Lanes = append(c.Lanes, lane)
		}
		c.Says += " " + capital(f.String()) + ": " + newTotalAnswer(h.Total(f), h.Units).words("") + "."
	}
	off := chart.Lane{Name: "shut down", Mark: chart.Off}
	for _, s := range h.Off {
		off.Stretches = append(off.Stretches, chart.Stretch{From: s.From, To: s.To, Says: s.Why})
	}
	if len(off.Stretches) > 0 {
		c.Lanes = append(c.Lanes, off)
	}
	c.Lanes = append(c.Lanes, insideLanes(h)...)
	return c
}

func unitOf(u measure.UnitSystem) string {
	if u == measure.US {
		return "degrees Fahrenheit"
	}
	return "degrees Celsius"
}

func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// curves are what the sensors showed, each by the least that it may mean, and by
// the most where a check has left that open.
func curves(shown []evidence.Shown) (all []chart.Curve) {
	for _, s := range shown {
		name := s.Sensor
		if s.Position == evidence.InLoad {
			name += ", in the load"
		}
		if s.Most == nil {
			all = append(all, chart.Curve{Name: name, Readings: s.Readings})
			continue
		}
		all = append(all, chart.Curve{Name: name + ", at least", Readings: s.Readings}, chart.Curve{Name: name + ", at most", Readings: s.Most})
	}
	return all
}

func findingLane(h app.OvenHistory, f evidence.Finding) chart.Lane {
	l := chart.Lane{Name: f.String(), Mark: chart.Fault}
	if f == evidence.Unproven {
		l.Name, l.Mark = "no proof", chart.Unknown
	}
	for _, s := range h.Stretches {
		if s.Finding == f {
			l.Stretches = append(l.Stretches, chart.Stretch{From: s.From, To: s.To, Says: string(s.Reason)})
		}
	}
	return l
}

// mostLanes is how many bundles a drawing shows; the table lists them all.
const mostLanes = 20

// insideLanes are when the door was opened to put something in or take it out,
// and what was inside.
func insideLanes(h app.OvenHistory) []chart.Lane {
	door := chart.Lane{Name: "door", Mark: chart.Event}
	var all []chart.Lane
	for _, o := range h.Occupants {
		for at, says := range map[measure.Instant]string{o.From: o.Bundle + " in", o.To: o.Bundle + " out"} {
			if at >= h.From && at < h.To {
				door.Stretches = append(door.Stretches, chart.Stretch{From: at, Says: says})
			}
		}
		to := o.To
		if to == 0 {
			to = h.To
		}
		s := chart.Stretch{From: max(o.From, h.From), To: min(to, h.To), Says: o.Class + ", lot " + o.Lot}
		i := slices.IndexFunc(all, func(l chart.Lane) bool { return l.Name == o.Bundle })
		if i < 0 {
			i, all = len(all), append(all, chart.Lane{Name: o.Bundle, Mark: chart.Inside})
		}
		all[i].Stretches = append(all[i].Stretches, s)
	}
	slices.SortStableFunc(door.Stretches, func(a, b chart.Stretch) int { return int(a.From - b.From) })
	if len(door.Stretches) > 0 {
		all = append([]chart.Lane{door}, all...)
	}
	return all[:min(len(all), mostLanes)]
}
