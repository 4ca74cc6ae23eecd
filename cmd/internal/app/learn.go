package app

import (
	"cmp"
	"errors"
	"maps"
	"slices"

	"ovenward/forecast/demand"
	"ovenward/forecast/joint"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
)

// weeksLooked is how many whole weeks back use is compared with plans: half a
// year, so that what a shop did before it changed its ways is forgotten.
const weeksLooked = 26

// UsedWeek is what one item took in one past week against what was planned.
type UsedWeek struct {
	Week     measure.Week
	Item     joint.Item
	Expected float64 // pieces by the plan that was in force when the week began
	Issued   int64
	Returned int64 // unused
	Scrapped int64 // came back damaged or not identified
	Used     int64 // for joints of the plan
	Free     int64 // used for what no joint of the plan explains
}

// Learnt is what past weeks teach. Use is read from the facts and set against
// the plans as they were loaded, so that a fact entered late or corrected counts
// from then on.
type Learnt struct {
	Weeks    []UsedWeek // in order of week and item
	From, To measure.Week
	Open     int // slips of these weeks that are still out: what they used is not known
	NoPlan   int // weeks before the first plan
	Late     []float64
	Started  int // joints of a plan that rods went out for
	Ratios   map[joint.Item]demand.Ratio
	Told     map[joint.Item][]demand.Judged // forecasts as they were kept before their weeks began, with all use of these
	Free     map[joint.Item][]float64       // of each week from the first in which rods went out
	Jobs     []UsedJob                      // in order of job and item
	Norm     demand.Norm                    // of the jobs' use over plan
}

// chances are those of coming weeks, by what past ones taught.
func (l Learnt) chances(seed uint64, draws int) demand.Chances {
	return demand.Chances{Seed: seed, Draws: draws, Late: l.Late, Ratios: l.Ratios, Unplanned: l.Free, Usual: l.usual()}
}

// usual forecasts the use that no joint explains, by the method that would have
// done best.
func (l Learnt) usual() map[joint.Item]float64 {
	usual := map[joint.Item]float64{}
	for i, past := range l.Free {
		method, _ := demand.Choose(past)
		usual[i] = method.Forecast(past, demand.Smoothing)
	}
	return usual
}

// learner sets use against plans.
type learner struct {
	v     *view
	s     *scales
	allow demand.Allowances
	since measure.Instant // slips that went out from then on, and before until
	until measure.Instant
	out   Learnt
	jobs  map[string]*jobUse
	items []joint.Item
	plans map[measure.Week]*weekPlan
	sums  map[measure.Week]map[joint.Item]*UsedWeek
}

// weekPlan is what was planned when a week began.
type weekPlan struct {
	joints map[string]*joint.Joint // by their numbers
}

// learn compares the whole weeks before the instant of the view with their
// plans, computed with the tables as they are now.
func (v *view) learn(s *scales, a demand.Allowances) (Learnt, error) {
	now := measure.WeekOf(measure.DateOf(v.at, v.zone)).Monday()
	return v.learnOver(s, a, now.AddDays(-7*weeksLooked).At(0, v.zone), now.At(0, v.zone))
}

// learnOver compares what went out from one instant up to another with the plans
// of the weeks that have any of that time.
func (v *view) learnOver(s *scales, a demand.Allowances, since, until measure.Instant) (Learnt, error) {
	l := &learner{v: v, s: s, allow: a, since: since, until: until, jobs: map[string]*jobUse{},
		plans: map[measure.Week]*weekPlan{}, sums: map[measure.Week]map[joint.Item]*UsedWeek{}}
	l.out.From = measure.WeekOf(measure.DateOf(since, v.zone))
	l.out.To = measure.WeekOf(measure.DateOf(until-1, v.zone))
	slips, err := stockdb.SlipsIn(v.ctx, v.tx, v.site, since, until)
	if err != nil {
		return Learnt{}, err
	}
	if err := l.planWeeks(); err != nil {
		return Learnt{}, err
	}
	slices.SortFunc(l.items, joint.Item.Compare)
	if err := l.slips(slips); err != nil {
		return Learnt{}, err
	}
	l.finish()
	if err := l.finishJobs(); err != nil {
		return Learnt{}, err
	}
	return l.out, l.told()
}

// planWeeks goes back through the weeks and the plans that were in force, each
// of which is read once.
func (l *learner) planWeeks() error {
	p, err := l.v.planned(0)
	if _, none := errors.AsType[*inventory.Refusal](err); none {
		return nil // all use is not planned
	}
	if err != nil {
		return err
	}
	for w := l.out.To; !w.Before(l.out.From); w = measure.WeekOf(w.Monday().AddDays(-7)) {
		began, ended := w.Monday().At(0, l.v.zone), w.Next().Monday().At(0, l.v.zone)
		for p.Revision.Loaded > began && p.Revision.Number > 1 {
			if p, err = l.v.planned(p.Revision.Number - 1); err != nil {
				return err
			}
		}
		if p.Revision.Loaded >= ended {
			l.out.NoPlan++
			continue
		}
		if err := l.plan(w, p); err != nil {
			return err
		}
	}
	return nil
}

// plan adds what a week was expected to take by the plan in force when it began,
// or by the first one if that was loaded in it.
func (l *learner) plan(w measure.Week, p Planned) error {
	k := &weekPlan{joints: map[string]*joint.Joint{}}
	l.plans[w] = k
	var here []joint.Joint
	for i, j := range p.Plan.Joints {
		k.joints[j.ID] = &p.Plan.Joints[i]
		if j.Week == w {
			here = append(here, j)
		}
	}
	in := demand.Input{Joints: here, Catalogue: l.s.tables.Metal, Named: l.s.tables.Named, Allowances: l.allow}
	expected, err := demand.Expect(in)
	for i, n := range expected[w] {
		l.at(w, i).Expected = n
		if !slices.Contains(l.items, i) {
			l.items = append(l.items, i)
		}
	}
	return err
}

func (l *learner) at(w measure.Week, i joint.Item) *UsedWeek {
	if l.sums[w] == nil {
		l.sums[w] = map[joint.Item]*UsedWeek{}
	}
	if l.sums[w][i] == nil {
		l.sums[w][i] = &UsedWeek{Week: w, Item: i}
	}
	return l.sums[w][i]
}

// slips adds what went out to the week in which it did, and what came back too.
func (l *learner) slips(slips []inventory.Slip) error {
	started := map[string]bool{}
	var late []int
	for _, s := range slips {
		if s.At < l.since || s.At >= l.until || wentOut(s).issued == 0 {
			continue
		}
		w := measure.WeekOf(measure.DateOf(s.At, l.v.zone))
		item, err := l.itemOf(s)
		if err != nil {
			return err
		}
		named := l.named(w, s)
		for _, j := range named {
			if !started[j.ID] {
				started[j.ID] = true
				late = append(late, j.Week.Monday().DaysUntil(w.Monday())/7)
				l.begin(j)
			}
		}
		l.add(l.at(w, item), s, len(named) > 0)
		l.addToJobs(item, s, named)
	}
	l.out.Started, l.out.Late = len(late), demand.LearnLate(late)
	return nil
}

// named returns the joints that a slip names and the plan of its week has.
func (l *learner) named(w measure.Week, s inventory.Slip) (list []*joint.Joint) {
	if p := l.plans[w]; p != nil {
		for _, name := range s.Joints {
			if j := p.joints[name]; j != nil {
				list = append(list, j)
			}
		}
	}
	return list
}

func (l *learner) add(u *UsedWeek, s inventory.Slip, planned bool) {
	w := wentOut(s)
	u.Issued += w.issued
	if l.isOut(s) {
		l.out.Open++
		return
	}
	u.Returned += w.unused
	u.Scrapped += w.spoilt
	if planned {
		u.Used += w.used()
	} else {
		u.Free += w.used()
	}
}

func (l *learner) isOut(s inventory.Slip) bool { return s.Closed == 0 || s.Closed > l.v.at }

// itemOf returns the item of the plans that a slip's rods serve, or what they are.
func (l *learner) itemOf(s inventory.Slip) (joint.Item, error) {
	lot, err := l.v.lot(s.Lot)
	if err != nil {
		return joint.Item{}, err
	}
	if i, ok := ServedItem(l.items, lot); ok {
		return i, nil
	}
	i, _ := tableItem(l.s.tables.Metal, joint.Item{Class: lot.Mark.Canonical, Diameter: lot.Diameter})
	return i, nil
}

// finish draws ratios and histories from the weeks.
func (l *learner) finish() {
	l.out.Ratios, l.out.Free = map[joint.Item]demand.Ratio{}, map[joint.Item][]float64{}
	byItem := map[joint.Item][]demand.Week{}
	for _, items := range l.sums {
		for i, u := range items {
			l.out.Weeks = append(l.out.Weeks, *u)
			byItem[i] = append(byItem[i], demand.Week{Week: u.Week, Expected: u.Expected, Used: float64(u.Used)})
		}
	}
	slices.SortFunc(l.out.Weeks, func(a, b UsedWeek) int {
		return cmp.Or(cmp.Compare(a.Week.Monday(), b.Week.Monday()), a.Item.Compare(b.Item))
	})
	for i, weeks := range byItem {
		slices.SortFunc(weeks, func(a, b demand.Week) int { return cmp.Compare(a.Week.Monday(), b.Week.Monday()) })
		l.out.Ratios[i] = demand.LearnRatio(weeks)
	}
	for _, i := range slices.Collect(maps.Keys(byItem)) {
		if free := l.free(i); len(free) > 0 {
			l.out.Free[i] = free
		}
	}
}

// free returns the use that no joint explains in each week from the first one in
// which anything went out; nothing where there was none.
func (l *learner) free(i joint.Item) []float64 {
	if len(l.out.Weeks) == 0 {
		return nil
	}
	var list []float64
	any := false
	for w := l.out.Weeks[0].Week; !l.out.To.Before(w); w = w.Next() {
		n := 0.0
		if u := l.sums[w][i]; u != nil {
			n = float64(u.Free)
		}
		any = any || n > 0
		list = append(list, n)
	}
	if !any {
		return nil
	}
	return list
}
