package app

import (
	"context"
	"slices"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
	"ovenward/storage/air"
	"ovenward/storage/ovendb"
	"ovenward/storage/rules"
)

// ClimateHistory is what was read of the air of a place over a time, and what it
// meant for the stock that was there.
type ClimateHistory struct {
	Place    inventory.Place
	From, To measure.Instant
	Gap      measure.Duration   // readings further apart prove nothing
	Set      string             // the rule set in force
	Units    measure.UnitSystem // that the site shows
	Readings []ovendb.Climate
	Groups   []ClimateGroup // one for each table of limits that stock there was kept by
}

// ClimateGroup is the stock that one table of limits speaks of.
type ClimateGroup struct {
	Limits rules.ClimateLimits
	Spans  []air.Span // without gaps, in order of time
	Stock  []KeptStock
}

// KeptStock is stock that was in the place, with how long the air was outside of
// its limits or not proven while it was there.
type KeptStock struct {
	Bundle  string
	Lot     string
	Class   string
	Package inventory.Package
	From    measure.Instant
	To      measure.Instant // zero while it lasts
	Outside measure.Duration
	Unknown measure.Duration
}

// ClimateHistory returns what the air of a place was from one instant to another,
// by what the rule set in force asks for the stock that was there. A zero from is
// the first reading, a zero to is now. The error is a *inventory.Refusal for a
// place that there is not, or whose air is not read.
func (a *App) ClimateHistory(ctx context.Context, place string, from, to measure.Instant) (h ClimateHistory, err error) {
	if to == 0 {
		to = a.now()
	}
	err = a.read(ctx, to, func(v *view) error {
		h, err = v.climateHistory(place, from, to)
		return err
	})
	return h, err
}

func (v *view) climateHistory(name string, from, to measure.Instant) (h ClimateHistory, err error) {
	if h.Place, err = v.airPlace(name); err != nil {
		return h, err
	}
	h.From, h.To, h.Units = from, to, v.settings.Units
	if from == 0 {
		first, err := ovendb.FirstClimate(v.ctx, v.tx, v.site, name, 0)
		if err != nil {
			return h, err
		}
		if h.From = min(first, to); first == 0 {
			h.From = to
		}
	}
	if h.Readings, err = ovendb.Climates(v.ctx, v.tx, v.site, name, h.From, to); err != nil {
		return h, err
	}
	set, err := v.setFor(inventory.Bundle{}, "")
	if set == nil || err != nil {
		return h, err
	}
	h.Set, h.Gap = set.ID, set.Air.MaxGap
	if h.Groups, err = v.climateGroups(set, name, h.From, to); err != nil {
		return h, err
	}
	log, err := v.airLog(name, h.From.Add(-h.Gap), to.Add(h.Gap))
	if err != nil {
		return h, err
	}
	for i := range h.Groups {
		h.Groups[i].judge(log, h)
	}
	return h, nil
}

// climateGroups returns the stock that was in a place, by the limits of its air.
func (v *view) climateGroups(set *rules.Set, place string, from, to measure.Instant) ([]ClimateGroup, error) {
	if len(set.Climate) == 0 {
		return nil, nil
	}
	stays, err := stockdb.KeptIn(v.ctx, v.tx, v.site, place, from, to)
	if err != nil {
		return nil, err
	}
	var groups []ClimateGroup
	for _, k := range stays {
		l, err := v.lot(k.Lot)
		if err != nil {
			return nil, err
		}
		limits := set.ClimateFor(rules.Subject{Mark: l.Mark, Package: k.Package, Tight: k.Tight, Product: l.Maker})
		if len(limits) == 0 || k.From == k.To {
			continue
		}
		i := slices.IndexFunc(groups, func(g ClimateGroup) bool { return g.Limits.Names() == limits.Names() })
		if i < 0 {
			i = len(groups)
			groups = append(groups, ClimateGroup{Limits: limits})
		}
		groups[i].Stock = append(groups[i].Stock, KeptStock{Bundle: k.Bundle, Lot: k.Lot, Class: l.Mark.Canonical,
			Package: k.Package, From: k.From, To: k.To})
	}
	return groups, nil
}

// judge finds out when the air was outside of the limits, and for how long each
// bundle was in it.
func (g *ClimateGroup) judge(log *air.Log, h ClimateHistory) {
	g.Spans = log.Judge(h.Gap, h.From, h.To, h.To, g.Limits.Outside)
	for i := range g.Stock {
		k := &g.Stock[i]
		for _, s := range g.Spans {
			d := k.within(s, h.To)
			switch s.Finding {
			case air.Outside:
				k.Outside += d
			case air.Unknown:
				k.Unknown += d
			case air.Within:
			}
		}
	}
}

// within returns how much of a span the stock was there.
func (k *KeptStock) within(s air.Span, now measure.Instant) measure.Duration {
	to := k.To
	if to == 0 {
		to = now
	}
	return max(min(s.To, to).Sub(max(s.From, k.From)), 0)
}

// Total adds up the spans of a finding: how often, how long and the longest.
func (g *ClimateGroup) Total(f air.Finding) (t Total) {
	for _, s := range g.Spans {
		if s.Finding != f {
			continue
		}
		t.Times++
		t.All += s.To.Sub(s.From)
		t.Longest = max(t.Longest, s.To.Sub(s.From))
	}
	return t
}

// During returns the stock that was there in a span.
func (g *ClimateGroup) During(s air.Span) (there []KeptStock) {
	for _, k := range g.Stock {
		if k.From < s.To && (k.To == 0 || k.To > s.From) {
			there = append(there, k)
		}
	}
	return there
}
