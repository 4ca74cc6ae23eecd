package app

import (
	"context"
	"fmt"
	"maps"
	"slices"

	"ovenward/forecast/demand"
	"ovenward/forecast/joint"
	"ovenward/forecast/metal"
	"ovenward/forecast/plan"
	"ovenward/forecast/supply"
	"ovenward/forecast/terms"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/rules"
)

// Purchase is what to order for a plan.
type Purchase struct {
	Outlook
	Buying Buying
	Bought []Bought
	Due    []Due // deliveries that are on order

	chances demand.Chances                             // of the draws; use that no joint explains is taken out where it was drawn
	draws   map[supply.Want]map[measure.Week][]float64 // what weeks may take, run by run
}

// Bought is what to order of one item for the jobs that ask the same of it.
type Bought struct {
	supply.Proposal
	Rod      metal.Rod
	Jobs     []string
	Set      bool // the buyer has set how the item is bought
	Terms    terms.Item
	Ask      terms.Ask // with what the jobs ask for
	Approval []string  // that the papers must show
	MaxAge   inventory.Age
	Taught   demand.Ratio // use over plan, as it was drawn; that of no weeks where none taught it
	Notes    []string
}

// Due is a delivery that is on order.
type Due struct {
	terms.Expected
	Pieces int64  // that count; zero where it does not
	Why    string // it does not count
}

// Buy proposes orders for the plan: what the joints need, less the stock that
// may go out for their jobs and less what is on order, by what the buyer has
// set. The error is a *inventory.Refusal where no plan is loaded.
func (a *App) Buy(ctx context.Context, q ForecastQuery) (Purchase, error) {
	if q.At == 0 {
		q.At = a.now()
	}
	stock, err := a.Stock(ctx, q.At)
	if err != nil {
		return Purchase{}, err
	}
	var p Purchase
	err = a.read(ctx, q.At, func(v *view) error {
		p, err = v.purchase(q, stock)
		return err
	})
	return p, err
}

func (v *view) purchase(q ForecastQuery, stock []Look) (Purchase, error) {
	planned, err := v.planned(0)
	if err != nil {
		return Purchase{}, err
	}
	o := Purchase{Outlook: Outlook{At: v.at, Zone: v.zone, Units: v.settings.Units, Planned: planned, Allowances: q.Allowances}}
	joints := o.window(q)
	if o.Buying, err = v.buying(); err != nil {
		return Purchase{}, err
	}
	s, err := v.weigh(joints)
	if err != nil {
		return Purchase{}, err
	}
	o.Receipts, o.Notes = s.receipts, slices.Concat(s.notes, plan.Misplaced(joints))
	if o.Learnt, err = v.learn(s, q.Allowances); err != nil {
		return Purchase{}, err
	}
	groups, err := v.grouped(joints)
	if err != nil {
		return Purchase{}, err
	}
	needs, items, err := o.needs(groups, s.tables)
	if err != nil {
		return Purchase{}, err
	}
	parts, err := v.usable(stock, items, &o.Outlook)
	if err != nil {
		return Purchase{}, err
	}
	today := measure.DateOf(v.at, v.zone)
	parts = append(parts, o.onOrder(items, today)...)
	o.propose(needs, parts, items, today)
	return o, nil
}

// needs adds up what each group of joints takes, and returns what is wanted.
func (o *Purchase) needs(groups []*group, tables Tables) ([]supply.Need, []wanted, error) {
	var needs []supply.Need
	var items []wanted
	o.chances = o.Learnt.chances(buySeed, buyDraws)
	o.chances.Unplanned = maps.Clone(o.chances.Unplanned)
	o.draws = map[supply.Want]map[measure.Week][]float64{}
	for _, g := range groups {
		in := demand.Input{Joints: g.joints, Catalogue: tables.Metal, Named: tables.Named, Allowances: o.Allowances}
		f, err := demand.Make(in)
		if err != nil {
			return nil, nil, err
		}
		o.Demand.NotComputed = append(o.Demand.NotComputed, f.NotComputed...)
		o.Demand.Computed += f.Computed
		for _, t := range f.Items {
			k := newWanted(t.Rod.Item)
			k.asks = &g.asks
			o.noteUnread(k)
			items = append(items, k)
			o.Demand.Items = append(o.Demand.Items, t)
		}
		for _, l := range f.Lines {
			k := wanted{item: l.Item, asks: &g.asks}
			needs = append(needs, supply.Need{Want: k.want(), Week: l.Week, Pieces: l.Pieces})
		}
		if err := o.simulate(in, f.Items, g); err != nil {
			return nil, nil, err
		}
	}
	return needs, items, nil
}

// pieceMass is what one rod of each item weighs.
func (o *Purchase) pieceMass() map[joint.Item]measure.Mass {
	m := map[joint.Item]measure.Mass{}
	for _, t := range o.Demand.Items {
		m[t.Rod.Item] = t.Rod.PieceMass()
	}
	return m
}

// onOrder returns the deliveries that count, and lists all of them.
func (o *Purchase) onOrder(items []wanted, today measure.Date) []supply.Part {
	var parts []supply.Part
	mass := o.pieceMass()
	for _, e := range o.Buying.Terms.Expected {
		p, why := o.due(e, items, mass, today)
		o.Due = append(o.Due, Due{Expected: e, Pieces: p.Pieces, Why: why})
		if why == "" {
			parts = append(parts, p)
		}
	}
	return parts
}

// propose runs the stock down week by week and sets orders against what lacks.
func (o *Purchase) propose(needs []supply.Need, parts []supply.Part, items []wanted, today measure.Date) {
	first := measure.WeekOf(today)
	for _, n := range needs {
		if n.Week.Before(first) {
			first = n.Week
		}
	}
	balances := supply.RunDown(supply.EveryWeek(needs, first, o.To), parts)
	o.Shortages = supply.Shortages(balances)
	for _, l := range supply.Lines(balances) {
		i := slices.IndexFunc(items, func(k wanted) bool { return k.want() == l.Want })
		l.Today = today
		o.Bought = append(o.Bought, o.bought(l, items[i], o.Demand.Items[i].Rod))
	}
}

// bought proposes what to order of one line.
func (o *Purchase) bought(l supply.Line, k wanted, rod metal.Rod) Bought {
	b := Bought{Rod: rod, Jobs: k.asks.jobs}
	b.Terms, b.Set = o.Buying.Terms.For(k.item)
	b.Taught = o.Learnt.Ratios[k.item]
	l.Policy, b.Notes = b.Terms.Resolve(rod.PieceMass())
	l.Write = o.writes(k)
	b.Ask = b.Terms.Ask
	b.order(k.asks.demands(rules.Subject{Mark: k.mark, Package: b.Ask.Package, Product: b.Ask.Product}))
	if b.Ask.Length == 0 {
		b.Ask.Length = rod.Length
	}
	switch {
	case k.asks.owner != "":
		b.Proposal = supply.Proposal{Line: l}
		b.Notes = append(b.Notes, fmt.Sprintf("%s supplies its own filler: ask for it, nothing is bought", k.asks.owner))
		return b
	case !b.Set:
		b.Notes = append(b.Notes, "nothing is set for it: no lead time, pack or price (ovenward buy policy)")
	case l.Policy.LeadDays == 0:
		b.Notes = append(b.Notes, "no lead time is set for it: there is no day to order by and no safety stock")
	}
	if l.Spread = spread(l, b.Terms.Varies); l.Spread == nil {
		l.Draws = o.drawsOf(l)
	}
	b.Proposal = supply.Propose(l)
	return b
}

// writes returns how amounts of an item are printed: rods as a number, wire and
// flux in the site's unit of mass.
func (o *Purchase) writes(k wanted) func(int64) string {
	if !k.byMass {
		return nil
	}
	return func(n int64) string { return ItemAmount(k.item, n, o.Units) }
}

// spread is the standard deviation of each week's need where the buyer has set
// by what part it varies; nil where not.
func spread(l supply.Line, part float64) []float64 {
	if part == 0 {
		return nil
	}
	s := make([]float64, len(l.Weeks))
	for t, w := range l.Weeks {
		s[t] = part * float64(w.Pieces)
	}
	return s
}
