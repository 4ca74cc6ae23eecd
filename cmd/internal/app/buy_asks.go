package app

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"ovenward/forecast/joint"
	"ovenward/forecast/supply"
	"ovenward/forecast/terms"
	"ovenward/inventory"
	"ovenward/inventory/jobdb"
	"ovenward/inventory/measure"
	"ovenward/storage/rules"
)

// asks is what jobs ask of their filler beside class and size.
type asks struct {
	demand inventory.Demand
	owner  string // who supplies the filler; empty: the shop
	jobs   []string
	set    *rules.Set // that judges their papers; nil: none is in force
	own    bool       // the jobs name the set, and not the site
}

// papers is what tells one asks from another, in words.
func (a *asks) papers() string {
	var parts []string
	if a.demand.Asks() {
		parts = append(parts, a.demand.Words())
	}
	if age := a.demand.MaxAge; age != (inventory.Age{}) {
		parts = append(parts, "tested at most "+age.String()+" before it comes")
	}
	if a.own {
		parts = append(parts, "by rule set "+a.set.ID)
	}
	if a.owner != "" {
		parts = append(parts, "supplied by "+a.owner)
	}
	return strings.Join(parts, ", ")
}

// want is the key under which the supply of an item is computed.
func (k wanted) want() supply.Want {
	w := supply.Want{Item: k.item}
	if k.asks != nil {
		w.Papers = k.asks.papers()
	}
	return w
}

// group is the joints of jobs that ask the same of their filler.
type group struct {
	asks   asks
	joints []joint.Joint
}

// grouped parts joints by what their jobs ask, the groups that ask nothing first. A
// job that nobody set up asks nothing.
func (v *view) grouped(joints []joint.Joint) ([]*group, error) {
	jobs, err := jobdb.Jobs(v.ctx, v.tx, v.site, v.at)
	if err != nil {
		return nil, err
	}
	byRules, err := v.paperRules()
	if err != nil {
		return nil, err
	}
	byJob := map[string]asks{}
	for _, j := range jobs {
		d, err := j.Entry.Demand()
		if err != nil {
			return nil, err
		}
		byJob[j.Entry.Job] = asks{demand: d, owner: j.Entry.Owner}
	}
	var list []*group
	for _, j := range joints {
		a := byJob[j.Job]
		a.judgedBy(byRules, j.Job)
		i := slices.IndexFunc(list, func(g *group) bool { return g.asks.papers() == a.papers() })
		if i < 0 {
			i = len(list)
			list = append(list, &group{asks: a})
		}
		g := list[i]
		g.joints = append(g.joints, j)
		if !slices.Contains(g.asks.jobs, j.Job) {
			g.asks.jobs = append(g.asks.jobs, j.Job)
		}
	}
	slices.SortStableFunc(list, func(a, b *group) int { return cmp.Compare(a.asks.narrow(), b.asks.narrow()) })
	return list, nil
}

// narrow is how little else than the jobs of the group its rods may serve: what
// asks nothing comes first, what a customer supplies last.
func (a *asks) narrow() int {
	switch {
	case a.owner != "":
		return 2
	case a.papers() != "":
		return 1
	default:
		return 0
	}
}

// suited returns what a bundle may go out for by its papers and its owner, and
// lists what it may not.
func (v *view) suited(l Look, serves []wanted, o *Outlook) (wants []supply.Want, err error) {
	for _, k := range serves {
		why := ""
		if k.asks != nil {
			if why, err = v.unsuited(l, *k.asks); err != nil {
				return nil, err
			}
		}
		if why == "" {
			wants = append(wants, k.want())
			continue
		}
		o.leaveOut([]wanted{k}, l.Lot.Code, held(l.Bundle), why)
	}
	return wants, nil
}

// unsuited says why a bundle may not go out for the jobs that ask so; empty
// where it may.
func (v *view) unsuited(l Look, a asks) (string, error) {
	if l.Lot.Owner != a.owner {
		return fmt.Sprintf("not for %s: the rods are of %s, %s is welded with those of %s", a.named(), cmp.Or(l.Lot.Owner, "the shop"),
			a.named(), cmp.Or(a.owner, "the shop")), nil
	}
	papers, err := v.papers(l.Lot)
	if err != nil {
		return "", err
	}
	for _, d := range a.demands(subject(l.Lot, l.Bundle)) {
		err := d.Refuse(l.Lot, papers)
		if err == nil && d.MaxAge != (inventory.Age{}) && a.set != nil && a.set.Issue.TestAge == rules.Refused {
			received, failed := v.receivedOn(l.Lot)
			if failed != nil {
				return "", failed
			}
			err = d.TooOld(l.Lot, papers, received)
		}
		if ref, refused := errors.AsType[*inventory.Refusal](err); refused {
			return "not for " + a.named() + ": " + ref.Why, nil
		}
	}
	return "", nil
}

// named names the jobs: "job A and 2 others".
func (a asks) named() string {
	switch n := len(a.jobs); n {
	case 0:
		return "the plan"
	case 1:
		return "job " + a.jobs[0]
	default:
		return fmt.Sprintf("job %s and %d more", a.jobs[0], n-1)
	}
}

// lacks says what a paper to come does not answer; empty where it answers all.
func (a *asks) lacks(l inventory.Lot, packed inventory.Package, p inventory.Paper) string {
	for _, d := range a.demands(subject(l, inventory.Bundle{Package: packed})) {
		if d.Refuse(l, []inventory.Paper{p}) != nil {
			return d.Words()
		}
	}
	return ""
}

// due turns a delivery that is on order into stock to come, and says why it does
// not count where it does not.
func (o *Purchase) due(e terms.Expected, items []wanted, pieces map[joint.Item]measure.Mass, today measure.Date) (supply.Part, string) {
	if e.Due < today {
		return supply.Part{}, "was due on " + string(e.Due) + ": take it out of the file when it has come, or give its new day"
	}
	lot := inventory.Lot{Diameter: e.Diameter}
	k := newWanted(e.Item)
	if k.err != nil {
		return supply.Part{}, k.err.Error()
	}
	lot.Mark = k.mark
	paper := inventory.Paper{Kind: e.Ask.Certificate}
	paper.Actual = e.Ask.Actual
	var p supply.Part
	why := "the plan needs nothing that it serves"
	for _, w := range items {
		switch {
		case !w.servedBy(lot):
		case w.asks != nil && w.asks.owner != "":
		case w.asks != nil && w.asks.lacks(lot, e.Ask.Package, paper) != "":
			why = fmt.Sprintf("not for %s, which asks for %s; say what its papers will show", w.asks.named(),
				w.asks.lacks(lot, e.Ask.Package, paper))
		default:
			p.Serves = append(p.Serves, w.want())
		}
	}
	if len(p.Serves) == 0 {
		return p, why
	}
	item, _ := o.Buying.Terms.For(p.Serves[0].Item)
	policy, _ := item.Resolve(pieces[p.Serves[0].Item])
	n, err := e.Quantity.Pieces(policy.Pack, pieces[p.Serves[0].Item])
	if err != nil {
		return p, e.Quantity.String() + ": " + err.Error()
	}
	p.Pieces, p.FirstDay = n, e.Due.AddDays(policy.ReleaseDays)
	if policy.ShelfWeeks > 0 {
		p.LastDay = e.Due.AddDays(7 * policy.ShelfWeeks)
	}
	return p, ""
}
