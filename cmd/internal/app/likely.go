package app

import (
	"context"
	"slices"

	"ovenward/forecast/demand"
	"ovenward/forecast/joint"
)

// A simulation is asked for without a number of draws: as many as take about a
// second, within limits. Of a larger plan than mostSimulated one must ask.
const (
	usualDraws    = 10_000
	fewestDraws   = 500
	drawnJoints   = 3_000_000
	mostSimulated = 100_000
)

// drawsFor returns how many draws a plan of so many lines gets; none where it is
// too large.
func drawsFor(lines int) int {
	if lines > mostSimulated {
		return 0
	}
	return min(max(drawnJoints/max(lines, 1), fewestDraws), usualDraws)
}

// likely draws what the weeks are likely to take, by what past weeks taught.
func (v *view) likely(o *Outlook, in demand.Input, s *scales, q ForecastQuery) (err error) {
	if o.Learnt, err = v.learn(s, q.Allowances); err != nil {
		return err
	}
	c := o.Learnt.chances(q.Seed, q.Draws)
	if c.Draws == 0 {
		c.Draws = drawsFor(len(in.Joints))
	}
	if c.Draws == 0 {
		return nil
	}
	from := o.From
	o.Likely, err = demand.Simulate(in, c, from, o.To)
	o.Likely.Weeks = slices.DeleteFunc(o.Likely.Weeks, func(l demand.Likely) bool { return l.Week.Before(from) })
	return err
}

// LikelyOf returns what an item is likely to take in the week of a line; false
// where it was not simulated.
func (o *Outlook) LikelyOf(l ForecastLine) (demand.Likely, bool) {
	i := slices.IndexFunc(o.Likely.Weeks, func(k demand.Likely) bool {
		return k.Week == l.Line.Week && k.Item == l.Line.Item
	})
	if i < 0 {
		return demand.Likely{}, false
	}
	return o.Likely.Weeks[i], true
}

// Learn compares past weeks with their plans. The error is a *inventory.Refusal
// where no plan is loaded.
func (a *App) Learn(ctx context.Context, q ForecastQuery) (l Learnt, err error) {
	err = a.read(ctx, q.At, func(v *view) error {
		planned, err := v.planned(0)
		if err != nil {
			return err
		}
		s, err := v.weigh(planned.Plan.Joints)
		if err != nil {
			return err
		}
		l, err = v.learn(s, q.Allowances)
		return err
	})
	return l, err
}

// WeeksOf returns the weeks of an item, in order, to judge forecasts by.
func (l Learnt) WeeksOf(i joint.Item) (weeks []demand.Week) {
	for _, u := range l.Weeks {
		if u.Item == i {
			weeks = append(weeks, demand.Week{Week: u.Week, Expected: u.Expected, Used: float64(u.Used)})
		}
	}
	return weeks
}
