package app

import (
	"context"
	"slices"
	"time"

	"ovenward/forecast/demand"
	"ovenward/forecast/joint"
	"ovenward/forecast/plan"
	"ovenward/forecast/supply"
	"ovenward/inventory/measure"
)

// ForecastQuery says which weeks of the plan to look at, and from when.
type ForecastQuery struct {
	At         measure.Instant // when the stock is judged; zero: now
	From       measure.Week    // the first week to show; zero: that of At
	Weeks      int             // how many to show; zero: to the end of the plan
	Allowances demand.Allowances
	Seed       uint64 // of the simulation
	Draws      int    // zero: as many as the plan's size allows
}

// ForecastLine is one item in one week, with how it stands.
type ForecastLine struct {
	demand.Line
	Balance supply.Balance
}

// Outlook is what the plan needs, against what is here.
type Outlook struct {
	At    measure.Instant
	Zone  *time.Location
	Units measure.UnitSystem // that the site shows quantities in: SI, US, or empty before its setup

	Allowances demand.Allowances

	Planned  Planned
	From, To measure.Week // the weeks shown
	Carried  int          // lines of the plan of past weeks, not completed, that count in the first week
	Oldest   measure.Week // that a line was carried from; zero: none was
	Later    int          // lines of the plan after To

	Lines      []ForecastLine // from From to To
	Shortages  []supply.Shortage
	Learnt     Learnt
	Likely     demand.Simulated // of the weeks shown; without draws where there was no simulation
	Demand     demand.Forecast  // from the week of At or From, whichever is earlier, to To
	NotCounted []NotCounted
	ToBake     map[joint.Item]int64 // pieces that are counted and must be baked first
	Receipts   []Receipt
	Work       []ItemWork // of the items whose deposition rate is known
	Notes      []string   // what stock and receipts leave open
}

// Forecast sets the plan against the usable stock. The stock is run down from
// the week it is judged in, so that weeks before the first one shown have taken
// their part of it. The error is a *inventory.Refusal where no plan is loaded.
func (a *App) Forecast(ctx context.Context, q ForecastQuery) (Outlook, error) {
	if q.At == 0 {
		q.At = a.now()
	}
	stock, err := a.Stock(ctx, q.At)
	if err != nil {
		return Outlook{}, err
	}
	var o Outlook
	err = a.read(ctx, q.At, func(v *view) error {
		o, err = v.outlook(q, stock)
		return err
	})
	return o, err
}

func (v *view) outlook(q ForecastQuery, stock []Look) (Outlook, error) {
	planned, err := v.planned(0)
	if err != nil {
		return Outlook{}, err
	}
	o := Outlook{At: v.at, Zone: v.zone, Units: v.settings.Units, Planned: planned, Allowances: q.Allowances}
	joints := o.window(q)
	s, err := v.weigh(joints)
	if err != nil {
		return Outlook{}, err
	}
	o.Receipts, o.Notes = s.receipts, slices.Concat(s.notes, plan.Misplaced(joints))
	in := demand.Input{Joints: joints, Catalogue: s.tables.Metal, Named: s.tables.Named, Allowances: q.Allowances}
	if o.Demand, err = demand.Make(in); err != nil {
		return Outlook{}, err
	}
	o.Work = workOf(s.tables.Metal, o.Demand.Items)
	if err := v.likely(&o, in, s, q); err != nil {
		return Outlook{}, err
	}
	parts, err := v.usable(stock, o.wanted(), &o)
	if err != nil {
		return Outlook{}, err
	}
	o.runDown(parts)
	return o, nil
}

// window sets the weeks and returns the joints that count in them: those of
// weeks before the first one shown too. What a past week left is still to be
// welded, as completed joints leave the plan: it counts in the week of At, or in
// the first past one that is asked for.
func (o *Outlook) window(q ForecastQuery) []joint.Joint {
	start := measure.WeekOf(measure.DateOf(o.At, o.Zone))
	o.From = q.From
	if o.From == (measure.Week{}) {
		o.From = start
	}
	if o.From.Before(start) {
		start = o.From
	}
	o.To = o.From
	if q.Weeks > 0 {
		o.To = measure.WeekOf(o.From.Monday().AddDays(7 * (q.Weeks - 1)))
	}
	var joints []joint.Joint
	for _, j := range o.Planned.Plan.Joints {
		switch {
		case j.Week.Before(start):
			joints = append(joints, o.carry(j, start))
		case q.Weeks > 0 && o.To.Before(j.Week):
			o.Later++
		default:
			joints = append(joints, j)
			if o.To.Before(j.Week) {
				o.To = j.Week
			}
		}
	}
	return joints
}

// carry moves a joint of a past week into the first one that counts.
func (o *Outlook) carry(j joint.Joint, start measure.Week) joint.Joint {
	if o.Carried == 0 || j.Week.Before(o.Oldest) {
		o.Oldest = j.Week
	}
	o.Carried++
	j.Week = start
	return j
}

// runDown sets the needs against the stock and keeps the weeks shown.
func (o *Outlook) runDown(parts []supply.Part) {
	needs := make([]supply.Need, len(o.Demand.Lines))
	for i, l := range o.Demand.Lines {
		needs[i] = supply.Need{Want: supply.Want{Item: l.Item}, Week: l.Week, Pieces: l.Pieces}
	}
	balances := supply.RunDown(needs, parts)
	o.Shortages = supply.Shortages(balances)
	for i, l := range o.Demand.Lines {
		if !l.Week.Before(o.From) {
			o.Lines = append(o.Lines, ForecastLine{Line: l, Balance: balances[i]})
		}
	}
}

// PlanList is a revision of the plan with what each of its joints takes.
type PlanList struct {
	Planned Planned
	Zone    *time.Location
	Units   measure.UnitSystem
	Metal   []JointMetal // of Planned.Plan.Joints, in their order
}

// Plan returns a revision of the plan, computed with what the rods weighed on
// receipt; zero is the newest. The error is a *inventory.Refusal where there is
// none.
func (a *App) Plan(ctx context.Context, revision int64) (PlanList, error) {
	var list PlanList
	err := a.read(ctx, 0, func(v *view) error {
		planned, err := v.planned(revision)
		if err != nil {
			return err
		}
		s, err := v.weigh(planned.Plan.Joints)
		if err != nil {
			return err
		}
		list = PlanList{Planned: planned, Zone: v.zone, Units: v.settings.Units}
		for _, j := range planned.Plan.Joints {
			m, err := s.tables.Compute(j)
			if err != nil {
				return err
			}
			list.Metal = append(list.Metal, m)
		}
		return nil
	})
	return list, err
}
