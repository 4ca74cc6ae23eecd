package app

import (
	"fmt"

	"ovenward/forecast/demand"
	"ovenward/forecast/joint"
	"ovenward/forecast/supply"
	"ovenward/inventory/measure"
)

// A proposal is drawn from one seed, so that it is the same each time, and with
// as many runs as a quantile at 95 % needs. Larger plans than mostDrawn lines are
// not: their orders have no range.
const (
	buySeed   = 1
	buyDraws  = 2000
	mostDrawn = 20_000
)

// simulate draws what the weeks of a group's joints may take, by what past weeks
// taught, as a forecast does.
func (o *Purchase) simulate(in demand.Input, items []demand.Total, g *group) error {
	if len(in.Joints) > mostDrawn {
		o.Notes = append(o.Notes, fmt.Sprintf("no range of need and no safety stock from it: %d lines of the plan are more than the %d "+
			"that are drawn; --weeks takes fewer, or set varies in the policy", len(in.Joints), mostDrawn))
	}
	if len(in.Joints) == 0 || len(in.Joints) > mostDrawn {
		return nil
	}
	c := o.chances
	c.Unplanned = o.unplanned(items)
	s, err := demand.Simulate(in, c, o.From, o.To)
	if err != nil {
		return err
	}
	for _, l := range s.Weeks {
		k := wanted{item: l.Item, asks: &g.asks}
		if o.draws[k.want()] == nil {
			o.draws[k.want()] = map[measure.Week][]float64{}
		}
		o.draws[k.want()][l.Week] = l.Draws
	}
	return nil
}

// drawsOf returns the draws of each week of a line; nil where none were made. A
// week in which nothing can be needed has none.
func (o *Purchase) drawsOf(l supply.Line) [][]float64 {
	weeks := o.draws[l.Want]
	if weeks == nil {
		return nil
	}
	draws := make([][]float64, len(l.Weeks))
	for t, w := range l.Weeks {
		if draws[t] = weeks[w.Week]; draws[t] == nil {
			draws[t] = make([]float64, buyDraws)
		}
	}
	return draws
}

// unplanned returns the use of a group's items that no joint explains. It is of no
// job, so that each item has it once: in the first group that takes the item.
func (o *Purchase) unplanned(items []demand.Total) map[joint.Item][]float64 {
	taken := map[joint.Item][]float64{}
	for _, t := range items {
		if past, ok := o.chances.Unplanned[t.Rod.Item]; ok {
			taken[t.Rod.Item] = past
			delete(o.chances.Unplanned, t.Rod.Item)
		}
	}
	return taken
}
