package report

import (
	"slices"
	"strings"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/air"
	"ovenward/storage/ovendb"
)

var climateLog = Report{Name: "climate", Title: "climate log", Of: "[PLACE]", Over: APeriod,
	Questions: []string{
		"Was each store within the limits that the rules ask for the stock in it?",
		"When was it outside of them or not read, for how long, and why?",
		"Which lots stood in it then?",
		"What was the air like, day by day?",
	},
	make: func(m *maker) ([]Part, error) {
		all, err := m.climates()
		if err != nil {
			return nil, err
		}
		return []Part{m.climateLimits(all), m.climateStretches(all), m.climateStock(all), m.climateDays(all)}, nil
	}}

// climates returns the history of the place asked for, or of every place whose
// air was read or is asked anything of.
func (m *maker) climates() ([]app.ClimateHistory, error) {
	names := []string{m.Subject}
	if m.Subject == "" {
		names = []string{inventory.Store, string(inventory.OpenAir)}
		places, err := m.app.Places(m.ctx)
		if err != nil {
			return nil, err
		}
		for _, p := range places {
			if p.Kind == inventory.Shelf && !slices.Contains(names, p.Name) {
				names = append(names, p.Name)
			}
		}
	}
	var all []app.ClimateHistory
	for _, name := range names {
		h, err := m.app.ClimateHistory(m.ctx, name, m.From, m.To)
		if err != nil {
			return nil, err
		}
		if len(h.Readings) > 0 || len(h.Groups) > 0 {
			all = append(all, h)
		}
	}
	return all, nil
}

// climateLimits lists each place by the limits that its stock asks for.
func (m *maker) climateLimits(all []app.ClimateHistory) Part {
	p := Part{Name: "limits", Title: "were they kept", Empty: "the air of no place was read, and the rules ask nothing of any, " + m.period(), Columns: []Column{
		{Name: "place"}, {Name: "asked"}, {Name: "rule"}, {Name: "readings", Of: Numbers}, {Name: "within", Of: Spans}, {Name: "outside", Of: Spans},
		{Name: "times_outside", Head: "times", Of: Numbers}, {Name: "longest", Of: Spans}, {Name: "unproven", Of: Spans}, {Name: "verdict"},
		{Name: "source", Spare: 1}}}
	for _, h := range all {
		if len(h.Groups) == 0 {
			p.add(word(h.Place.Name), Blank("nothing was in it that the rules ask a climate for"), Blank(""), number(len(h.Readings)),
				Blank(""), Blank(""), Blank(""), Blank(""), Blank(""), word("nothing is asked"), Blank(""))
		}
		for i := range h.Groups {
			g := &h.Groups[i]
			within, outside, unproven := g.Total(air.Within), g.Total(air.Outside), g.Total(air.Unknown)
			verdict := "within its limits"
			switch {
			case outside.Times > 0:
				verdict = "OUTSIDE of its limits"
			case unproven.Times > 0:
				verdict = "NOT PROVEN all the time"
			}
			p.add(word(h.Place.Name), word(g.Limits.String()), word(h.Set+"/"+g.Limits.Names()), number(len(h.Readings)), span(within.All), span(outside.All),
				number(outside.Times), span(outside.Longest), span(unproven.All), word(verdict), word(g.Limits.Sources()))
		}
	}
	return p
}

// climateStretches lists when the air was outside or not proven, with the lots
// that stood in it.
func (m *maker) climateStretches(all []app.ClimateHistory) Part {
	p := Part{Name: "stretches", Title: "outside, or not proven", Empty: "no store was outside of its limits or without readings " + m.period(), Columns: []Column{
		{Name: "place"}, {Name: "from", Of: Instants}, {Name: "to", Of: Instants}, {Name: "lasted", Of: Spans}, {Name: "was"}, {Name: "why"},
		{Name: "lots", Of: Names}, {Name: "bundles", Of: Numbers}, {Name: "rule", Spare: 1}}}
	for _, h := range all {
		for i := range h.Groups {
			g := &h.Groups[i]
			for _, s := range g.Spans {
				if s.Finding == air.Within {
					continue
				}
				there := g.During(s)
				was := s.Finding.String()
				if s.Finding == air.Outside {
					was = strings.ToUpper(was)
				}
				p.add(word(h.Place.Name), moment(s.From), moment(s.To), span(s.To.Sub(s.From)), word(was), word(s.Why), names(lotsOf(there)),
					number(len(there)), word(h.Set+"/"+g.Limits.Names()))
			}
		}
	}
	return p
}

func lotsOf(stock []app.KeptStock) []string {
	lots := make([]string, len(stock))
	for i, k := range stock {
		lots[i] = k.Lot
	}
	slices.Sort(lots)
	return slices.Compact(lots)
}

// climateStock lists the stock that stood in a place, with how long its air was
// outside of what is asked for it.
func (m *maker) climateStock(all []app.ClimateHistory) Part {
	p := Part{Name: "stock", Title: "which stock stood there", Empty: "no stock that the rules ask a climate for stood anywhere " + m.period(), Columns: []Column{
		{Name: "place"}, {Name: "lot"}, {Name: "class"}, {Name: "bundle"}, {Name: "package"}, {Name: "from", Of: Instants}, {Name: "to", Of: Instants},
		{Name: "outside", Of: Spans}, {Name: "unproven", Of: Spans}}}
	affected := map[string]bool{}
	for _, h := range all {
		for _, g := range h.Groups {
			for _, k := range g.Stock {
				if k.Outside > 0 {
					affected[k.Lot] = true
				}
				p.add(word(h.Place.Name), word(k.Lot), word(k.Class), word(k.Bundle), word(string(k.Package)), moment(max(k.From, m.From)),
					momentOr(k.To, "still there"), span(k.Outside), span(k.Unknown))
			}
		}
	}
	if n := len(affected); n > 0 {
		p.note("%s stood in air outside of what is asked for it; QA decides whether it still has its shelf life.", count(n, "lot"))
	}
	return p
}

// climateDays is what was read on each day.
func (m *maker) climateDays(all []app.ClimateHistory) Part {
	p := Part{Name: "days", Title: "day by day", Empty: "no air was read " + m.period(), Columns: []Column{
		{Name: "place"}, {Name: "day"}, {Name: "readings", Of: Numbers}, {Name: "coldest", Of: Heats}, {Name: "warmest", Of: Heats},
		{Name: "driest", Of: Shares}, {Name: "dampest", Of: Shares}, {Name: "weather", Spare: 1}, {Name: "read_by", Of: Names}}}
	for _, h := range all {
		for list := h.Readings; len(list) > 0; {
			day := measure.DateOf(list[0].At, m.zone)
			n := slices.IndexFunc(list, func(c ovendb.Climate) bool { return measure.DateOf(c.At, m.zone) != day })
			if n < 0 {
				n = len(list)
			}
			p.climateDay(h.Place.Name, day, list[:n])
			list = list[n:]
		}
	}
	return p
}

func (p *Part) climateDay(place string, day measure.Date, list []ovendb.Climate) {
	cold, warm, dry, damp := list[0].Temp, list[0].Temp, list[0].RH, list[0].RH
	var weather, by []string
	for _, c := range list {
		cold, warm = min(cold, c.Temp), max(warm, c.Temp)
		dry, damp = min(dry, c.RH), max(damp, c.RH)
		if c.Weather != "" && !slices.Contains(weather, c.Weather) {
			weather = append(weather, c.Weather)
		}
		if !slices.Contains(by, c.By) {
			by = append(by, c.By)
		}
	}
	p.add(word(place), word(day), number(len(list)), heat(cold), heat(warm), share(dry.InPercent()), share(damp.InPercent()), word(commas(weather)), names(by))
}
