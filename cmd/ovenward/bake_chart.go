package main

import (
	"fmt"

	"ovenward/cmd/internal/app"
	"ovenward/inventory/measure"
	"ovenward/storage/bake"
	"ovenward/storage/chart"
	"ovenward/storage/exposure"
)

// bakeChart draws a run in a bake oven with what its recipe asks.
func bakeChart(l app.Look, b exposure.Baked, p screen) chart.Chart {
	to := b.Run.To
	if to == 0 {
		to = p.at
	}
	c := chart.Chart{Zone: p.zone, Units: p.units, From: b.Run.From, To: to, MaxGap: b.Run.MaxGap, Curves: curves(b.Run.Sensors)}
	c.Title = fmt.Sprintf("%s in %s, %s to %s", b.Bundle, b.Place, when(c.From, p.zone), when(to, p.zone))
	c.Says = fmt.Sprintf("%s. %s, lot %s. Temperatures in %s over the site's time. The run is %s",
		c.Title, l.Lot.Mark.Canonical, l.Lot.Code, unitOf(p.units), b.Result)
	if b.Why != "" {
		c.Says += ": " + b.Why
	}
	c.Says += "."
	c.Limits = recipeLimits(b)
	for _, s := range b.Stages {
		c.Lanes = append(c.Lanes, stageLane(s))
	}
	return c
}

// recipeLimits are the temperatures of a run. It passes all but the highest on
// its way, so the others are guides.
func recipeLimits(b exposure.Baked) (all []chart.Limit) {
	if r := b.Row; r != nil {
		all = append(all, chart.Limit{At: r.Min.Temperature, Guide: true, Says: "soak at least " + r.Min.String()})
		if r.Max.Given() {
			all = append(all, chart.Limit{At: r.Max.Temperature, Upper: true, Says: "at most " + r.Max.String()})
		}
	}
	if ceiling, ok := b.Run.PresoakCeiling(); ok {
		all = append(all, chart.Limit{At: ceiling, Upper: true, Guide: true,
			Says: fmt.Sprintf("pre-soak at most %s, %d %% of the set point", ceiling.In(b.Run.Units), b.Row.PresoakPercent)})
	}
	if set := b.Run.Order.Set; b.Row == nil || set != b.Row.Min.Temperature {
		all = append(all, chart.Limit{At: set, Guide: true, Says: "set point " + set.In(b.Run.Units)})
	}
	return all
}

// stageLane shows when a stage was, and what was missing of it.
func stageLane(s bake.Stage) chart.Lane {
	l := chart.Lane{Name: string(s.Kind), Mark: chart.Done}
	says := ""
	if s.Asked > 0 {
		says = fmt.Sprintf("%s of %s", s.Proven.Words(), s.Asked.Words())
	}
	if s.Failed != "" {
		l.Mark, says = chart.Fault, s.Failed
	}
	if s.To > s.From || s.Failed != "" {
		l.Stretches = []chart.Stretch{{From: s.From, To: max(s.To, s.From+measure.Instant(measure.Second)), Says: says}}
	}
	return l
}
