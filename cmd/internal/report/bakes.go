package report

import (
	"fmt"

	"ovenward/cmd/internal/app"
	"ovenward/inventory/measure"
)

var bakes = Report{Name: "bakes", Title: "bake record", Over: APeriod,
	Questions: []string{
		"What recipe was asked for, in which oven, read by which sensors?",
		"What did the run look like: when, how long, its temperatures, its load?",
		"Was it a bake or not, and why?",
		"How often has the stock been baked after it, of how many times?",
	},
	make: func(m *maker) ([]Part, error) {
		runs, err := m.app.Bakes(m.ctx, m.From, m.To, "")
		if err != nil {
			return nil, err
		}
		p := Part{Name: "bakes", Title: "bakes", Empty: "no bakes " + m.period(), Columns: []Column{
			{Name: "bundle"}, {Name: "lot"}, {Name: "class"}, {Name: "oven"}, {Name: "from", Of: Instants}, {Name: "to", Of: Instants},
			{Name: "lasted", Of: Spans}, {Name: "set", Of: Heats}, {Name: "recipe"}, {Name: "source", Spare: 1}, {Name: "sensors", Of: Names, Spare: 2},
			{Name: "readings", Of: Numbers}, {Name: "lowest", Of: Heats}, {Name: "highest", Of: Heats}, {Name: "layers", Of: Numbers}, {Name: "load", Of: Masses},
			{Name: "result"}, {Name: "why"}, {Name: "bakes", Head: "baked after it", Of: Numbers}, {Name: "bakes_max", Head: "of", Of: Numbers}}}
		for _, r := range runs {
			if err := m.bake(&p, r); err != nil {
				return nil, err
			}
		}
		return []Part{p}, nil
	}}

func (m *maker) bake(p *Part, r app.BakeRun) error {
	until := r.Stay.To
	if until == 0 {
		until = m.At
	}
	sensors, err := m.app.Readings(m.ctx, r.Stay.Place.Name, r.Stay.From, until)
	if err != nil {
		return err
	}
	var who names
	n := 0
	var low, high measure.Temperature
	for _, s := range sensors {
		who = append(who, s.Sensor)
		for _, x := range s.List {
			if n == 0 {
				low, high = x.Temp, x.Temp
			}
			low, high = min(low, x.Temp), max(high, x.Temp)
			n++
		}
	}
	recipe, source := "none: the rule set has no bake for it", ""
	if row := r.After.Ruling.Bake; row != nil {
		if recipe, err = m.says(r.After.Ruling.Set, row.Row); err != nil {
			return err
		}
		source = row.Source
	}
	layers := Cell(Blank("not recorded"))
	if r.Stay.Bake.Layers > 0 {
		layers = number(r.Stay.Bake.Layers)
	}
	result, why := bakeResult(r)
	p.add(word(r.Bundle), word(r.Lot.Code), word(r.Lot.Mark.Canonical), word(r.Stay.Place.Name), moment(r.Stay.From), momentOr(r.Stay.To, "still in"),
		span(until.Sub(r.Stay.From)), heat(r.Stay.Bake.Set), word(recipe), word(source), who, number(n), heatOr(low, n > 0), heatOr(high, n > 0), layers, massOr(r.Stay.Bake.Load, "not recorded"),
		word(result), word(why), number(r.After.Bakes), number(r.After.BakesMax))
	return nil
}

func bakeResult(r app.BakeRun) (result, why string) {
	switch {
	case !r.Ran:
		return "running", r.After.Why
	case r.Valid:
		return "valid", "every stage is proven by readings"
	}
	return "NOT VALID", r.Piece.Why
}

// bakedOften lists the bundles whose bake in the time was not their first.
func bakedOften(runs []app.BakeRun, period string) Part {
	p := Part{Name: "baked_again", Title: "baked twice or more", Empty: "nothing was baked a second time " + period, Columns: []Column{
		{Name: "bundle"}, {Name: "lot"}, {Name: "class"}, {Name: "oven"}, {Name: "from", Of: Instants}, {Name: "bakes", Head: "bakes that count", Of: Numbers},
		{Name: "bakes_max", Head: "allowed", Of: Numbers}, {Name: "verdict"}}}
	for _, r := range runs {
		if r.After.Bakes > 1 || (r.After.BakesMax > 0 && r.After.Bakes > r.After.BakesMax) {
			p.add(word(r.Bundle), word(r.Lot.Code), word(r.Lot.Mark.Canonical), word(r.Stay.Place.Name), moment(r.Stay.From), number(r.After.Bakes),
				number(r.After.BakesMax), word(fmt.Sprintf("%s: %s", r.After.Verdict, r.After.Why)))
		}
	}
	return p
}
