package report

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"

	"ovenward/cmd/internal/app"
	"ovenward/forecast/demand"
	"ovenward/forecast/joint"
	"ovenward/forecast/metal"
	"ovenward/inventory"
)

var forecastActual = Report{Name: "forecast-actual", Title: "forecast and actual use", Over: APeriod,
	Questions: []string{
		"What was planned, issued, used and returned, by week and class?",
		"By what factor did use differ from the plan, for the next one?",
		"Which jobs took far more or far less than is usual?",
		"What was not forecast, and why?",
	},
	make: func(m *maker) ([]Part, error) {
		learnt, err := m.app.LearnOver(m.ctx, m.From, m.To, m.At)
		if err != nil {
			return nil, err
		}
		slips, err := m.app.SlipsIn(m.ctx, m.From, m.To)
		if err != nil {
			return nil, err
		}
		plan, err := m.app.Plan(m.ctx, 0)
		if _, none := errors.AsType[*inventory.Refusal](err); err != nil && !none {
			return nil, err
		}
		w := &weeks{m: m, learnt: learnt, named: map[string]bool{}}
		for _, j := range plan.Planned.Plan.Joints {
			w.named[j.ID] = true
		}
		return []Part{w.byWeek(plan), w.factors(), w.jobs(), w.unforeseen(plan, slips)}, nil
	}}

// weeks words what weeks took against their plans.
type weeks struct {
	m      *maker
	learnt app.Learnt
	named  map[string]bool // joints of the newest plan
}

// planned reports whether a slip names a joint of the plan.
func (w *weeks) planned(s inventory.Slip) bool {
	return slices.ContainsFunc(s.Joints, func(j string) bool { return w.named[j] })
}

// byWeek is a line for each week and item.
func (w *weeks) byWeek(p app.PlanList) Part {
	out := Part{Name: "weeks", Title: "by week and class", Empty: "nothing was planned or issued " + w.m.period(), Columns: append([]Column{{Name: "week"}, {Name: "class"}, {Name: "size"}, {Name: "in"}}, usedColumns()...)}
	for _, u := range w.learnt.Weeks {
		out.add(append([]Cell{word(u.Week.String()), word(u.Item.Class), word(u.Item.Size()), countedIn(u.Item)}, usedCells(u)...)...)
	}
	out.note("What came back is counted in the week in which it went out. Planned is of the whole week, by the plan in force when " +
		"it began, without allowances.")
	if n := w.learnt.Open; n > 0 {
		out.note("Slips still out, of which nothing is counted as used: %d.", n)
	}
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

// countedIn is what an item is counted in: wire and flux by mass.
func countedIn(i joint.Item) Cell {
	if metal.ByMass(i.Class) {
		return word("g")
	}
	return word("rods")
}

func usedCells(u app.UsedWeek) []Cell {
	used := u.Used + u.Free
	return []Cell{number(int64(math.Ceil(u.Expected))), number(u.Issued), number(used), number(u.Returned), number(u.Scrapped),
		number(u.Free), factor(float64(used), u.Expected)}
}

// factor is use by plan; it says nothing where nothing was planned.
func factor(used, planned float64) Cell {
	if planned == 0 {
		return Blank("nothing planned")
	}
	return word(fmt.Sprintf("%.2f", used/planned))
}

// factors add up the weeks of each item.
func (w *weeks) factors() Part {
	p := Part{Name: "factors", Title: "by class, for the next plan", Empty: "nothing was planned or issued " + w.m.period(), Columns: append([]Column{{Name: "class"}, {Name: "size"}, {Name: "in"}}, usedColumns()...)}
	sums := map[joint.Item]*app.UsedWeek{}
	for _, of := range w.learnt.Weeks {
		if sums[of.Item] == nil {
			sums[of.Item] = &app.UsedWeek{Item: of.Item}
		}
		sum := sums[of.Item]
		sum.Expected += of.Expected
		sum.Issued += of.Issued
		sum.Used += of.Used
		sum.Free += of.Free
		sum.Returned += of.Returned
		sum.Scrapped += of.Scrapped
	}
	for _, i := range slices.SortedFunc(maps.Keys(sums), joint.Item.Compare) {
		p.add(append([]Cell{word(i.Class), word(i.Size()), countedIn(i)}, usedCells(*sums[i])...)...)
	}
	return p
}

// jobs sets each job's use against the plan of its joints.
func (w *weeks) jobs() Part {
	p := Part{Name: "jobs", Title: "by job, against what is usual", Empty: "nothing went out for a joint of a plan " + w.m.period(),
		Columns: []Column{{Name: "job"}, {Name: "class"}, {Name: "size"}, {Name: "in"}, {Name: "joints", Of: Numbers},
			{Name: "planned", Of: Numbers}, {Name: "used", Of: Numbers}, {Name: "factor"}, {Name: "remark"}}}
	for _, u := range w.learnt.Jobs {
		p.add(word(u.Job), word(u.Item.Class), word(u.Item.Size()), countedIn(u.Item), number(u.Joints), number(int64(math.Ceil(u.Expected))),
			number(int64(math.Round(u.Used))), factor(u.Used, u.Expected), w.remark(u))
	}
	if n := w.learnt.Norm; n.Known() {
		p.note("Usual is %.2f, the median of %d factors, give or take %.2f, the median of their distances from it (MAD). Far from it "+
			"is a score of more than 3.5, 0.6745 times the distance over the MAD, and more than 20 %% of the median.", n.Median, n.Count, n.MAD)
	} else if n.Count > 0 {
		p.note("Too few jobs have come back to say what is usual: %d of the %d factors that are needed.", n.Count, demand.FewestForNorm)
	}
	return p
}

// remark says why a job deserves a look, or does not count.
func (w *weeks) remark(u app.UsedJob) Cell {
	switch {
	case u.Open > 0:
		return word(fmt.Sprintf("slips still out: %d", u.Open))
	case u.Expected == 0:
		return word("not planned for it")
	case u.Far && u.Ratio() > w.learnt.Norm.Median:
		return word("FAR MORE than usual")
	case u.Far:
		return word("FAR LESS than usual, or not finished")
	}
	return Blank("")
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
