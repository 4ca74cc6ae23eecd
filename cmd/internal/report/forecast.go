package report

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"ovenward/cmd/internal/app"
	"ovenward/forecast/joint"
	"ovenward/inventory"
	"ovenward/inventory/measure"
)

var forecastActual = Report{Name: "forecast-actual", Title: "forecast and actual use", Over: APeriod,
	Questions: []string{
		"What was planned, issued, used and returned, by week and class?",
		"By what factor did use differ from the plan, for the next one?",
		"What was not forecast, and why?",
	},
	make: func(m *maker) ([]Part, error) {
		slips, err := m.app.SlipsIn(m.ctx, m.From, m.To)
		if err != nil {
			return nil, err
		}
		w := &weeks{m: m, sums: map[weekItem]*weekSum{}}
		plan, err := m.app.Plan(m.ctx, 0)
		if _, none := errors.AsType[*inventory.Refusal](err); err != nil && !none {
			return nil, err
		}
		w.plan(plan)
		for _, s := range slips {
			if err := w.slip(s); err != nil {
				return nil, err
			}
		}
		return []Part{w.byWeek(plan), w.factors(), w.unforeseen(plan, slips)}, nil
	}}

// weekItem is an item in an ISO week of the site's clock.
type weekItem struct {
	week measure.Week
	item joint.Item
}

// weekSum is what was planned and what happened. A line of the plan does not end
// with a whole rod.
type weekSum struct {
	planned                                 float64
	issued, used, unused, spoilt, unplanned int64
}

// weeks sets a plan against slips.
type weeks struct {
	m     *maker
	items []joint.Item    // of the plan
	named map[string]bool // joints of the plan
	sums  map[weekItem]*weekSum
}

func (w *weeks) at(week measure.Week, i joint.Item) *weekSum {
	k := weekItem{week, i}
	if w.sums[k] == nil {
		w.sums[k] = &weekSum{}
	}
	return w.sums[k]
}

// plan adds the joints of the weeks that have any day in the period.
func (w *weeks) plan(p app.PlanList) {
	w.named = map[string]bool{}
	first, last := measure.WeekOf(measure.DateOf(w.m.From, w.m.zone)), measure.WeekOf(measure.DateOf(w.m.To-1, w.m.zone))
	for i, j := range p.Planned.Plan.Joints {
		w.named[j.ID] = true
		for _, need := range p.Metal[i].Items {
			if !slices.Contains(w.items, need.Item) {
				w.items = append(w.items, need.Item)
			}
			if !j.Week.Before(first) && !last.Before(j.Week) {
				w.at(j.Week, need.Item).planned += need.Pieces
			}
		}
	}
}

// slip adds what went out on a slip to the week in which it did, and what came
// back to the same week: it is what that week's joints took.
func (w *weeks) slip(s inventory.Slip) error {
	if s.At < w.m.From || s.At >= w.m.To || s.Pieces == 0 {
		return nil
	}
	l, err := w.m.lot(s.Lot)
	if err != nil {
		return err
	}
	item, ok := app.ServedItem(w.items, l)
	if !ok {
		item = joint.Item{Class: l.Mark.Canonical, Diameter: l.Diameter}
	}
	sum := w.at(measure.WeekOf(measure.DateOf(s.At, w.m.zone)), item)
	sum.issued += s.Pieces
	if s.Closed == 0 {
		return nil
	}
	used := s.Back.Used(s.Pieces)
	sum.used += used
	sum.unused += s.Back.Unused
	sum.spoilt += s.Back.Damaged + s.Back.Unidentified
	if !w.planned(s) {
		sum.unplanned += used
	}
	return nil
}

// planned reports whether a slip names a joint of the plan.
func (w *weeks) planned(s inventory.Slip) bool {
	return slices.ContainsFunc(s.Joints, func(j string) bool { return w.named[j] })
}

func (w *weeks) sorted() (keys []weekItem) {
	for k := range w.sums {
		keys = append(keys, k)
	}
	slices.SortFunc(keys, func(a, b weekItem) int {
		return cmp.Or(cmp.Compare(a.week.Monday(), b.week.Monday()), a.item.Compare(b.item))
	})
	return keys
}

// byWeek is a line for each week and item.
func (w *weeks) byWeek(p app.PlanList) Part {
	out := Part{Name: "weeks", Title: "by week and class", Empty: "nothing was planned or issued " + w.m.period(), Columns: append([]Column{{Name: "week"}, {Name: "class"}, {Name: "size"}}, usedColumns()...)}
	for _, k := range w.sorted() {
		out.add(append([]Cell{word(k.week.String()), word(k.item.Class), word(joint.SizeText(k.item.Diameter))}, w.sums[k].cells()...)...)
	}
	out.note("Rods. What came back is counted in the week in which it went out. Planned is whole rods, without allowances.")
	if r := p.Planned.Revision; r.Number > 0 {
		out.note("Plan: revision %d, %s, loaded %s by %s.", r.Number, r.Name, w.m.when(r.Loaded), r.By)
	} else {
		out.note("NO PLAN is loaded at this site: ovenward plan load FILE.")
	}
	return out
}

func usedColumns() []Column {
	return []Column{{Name: "planned", Of: Numbers}, {Name: "issued", Of: Numbers}, {Name: "used", Of: Numbers}, {Name: "returned", Of: Numbers},
		{Name: "spoilt", Of: Numbers}, {Name: "not_planned", Head: "used, not planned", Of: Numbers}, {Name: "factor"}}
}

func (s weekSum) cells() []Cell {
	planned := int64(math.Ceil(s.planned))
	return []Cell{number(planned), number(s.issued), number(s.used), number(s.unused), number(s.spoilt), number(s.unplanned), factor(s.used, s.planned)}
}

// factor is use by plan; it says nothing where nothing was planned.
func factor(used int64, planned float64) Cell {
	if planned == 0 {
		return Blank("nothing planned")
	}
	return word(fmt.Sprintf("%.2f", float64(used)/planned))
}

// factors add up the weeks of each item.
func (w *weeks) factors() Part {
	p := Part{Name: "factors", Title: "by class, for the next plan", Empty: "nothing was planned or issued " + w.m.period(), Columns: append([]Column{{Name: "class"}, {Name: "size"}}, usedColumns()...)}
	var items []joint.Item
	sums := map[joint.Item]*weekSum{}
	for _, k := range w.sorted() {
		if sums[k.item] == nil {
			items = append(items, k.item)
			sums[k.item] = &weekSum{}
		}
		sum, of := sums[k.item], w.sums[k]
		sum.planned += of.planned
		sum.issued += of.issued
		sum.used += of.used
		sum.unused += of.unused
		sum.spoilt += of.spoilt
		sum.unplanned += of.unplanned
	}
	slices.SortFunc(items, joint.Item.Compare)
	for _, i := range items {
		p.add(append([]Cell{word(i.Class), word(joint.SizeText(i.Diameter))}, sums[i].cells()...)...)
	}
	return p
}

// unforeseen lists what the plan did not count: joints that could not be
// computed, rows that could not be read, and issues for joints that it does not
// have.
func (w *weeks) unforeseen(p app.PlanList, slips []inventory.Slip) Part {
	out := Part{Name: "not_forecast", Title: "not forecast", Empty: "the plan foresaw every joint that rods went out for " + w.m.period(), Columns: []Column{
		{Name: "what"}, {Name: "of"}, {Name: "rods"}, {Name: "why"}}}
	for i, j := range p.Planned.Plan.Joints {
		if err := p.Metal[i].Err; err != nil {
			out.add(word("joint "+j.ID), word("job "+j.Job), Blank("not known"), word(err.Error()))
		}
	}
	for _, bad := range p.Planned.Plan.Problems {
		out.add(word(fmt.Sprintf("row %d of the plan", bad.Row)), Blank(""), Blank("not known"), word(bad.Error()))
	}
	for _, s := range slips {
		if s.At < w.m.From || s.At >= w.m.To || w.planned(s) {
			continue
		}
		why := "no joint of the plan is named"
		if len(s.Joints) == 0 {
			why = "no joint is named: tacks, repairs or attachments"
		}
		out.add(word("slip "+s.Code), word(commas(s.Joints)), amount(s.Pieces, s.Mass), word(why))
	}
	return out
}
