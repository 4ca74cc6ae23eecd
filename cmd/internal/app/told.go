package app

import (
	"context"
	"errors"
	"math"

	"github.com/jmoiron/sqlx"

	"ovenward/forecast/demand"
	"ovenward/forecast/joint"
	"ovenward/forecast/plandb"
	"ovenward/inventory/ledgerdb"
	"ovenward/inventory/measure"
)

// toldWeeks is how many weeks a kept forecast covers.
const toldWeeks = 13

// Kept is a forecast that was kept as it was told.
type Kept struct {
	Told  plandb.Told
	Lines int // of item and week
}

// KeepForecast makes the forecast of the coming weeks as it is told now and keeps
// it, so that use can be set against what was said. The error is a
// *inventory.Refusal where no plan is loaded, nobody is named or the person is not
// purchasing's.
func (a *App) KeepForecast(ctx context.Context, by string, q ForecastQuery) (Kept, error) {
	if by == "" {
		return Kept{}, nobody()
	}
	q.At, q.From, q.Weeks = a.now(), measure.Week{}, toldWeeks
	o, err := a.Forecast(ctx, q)
	if err != nil {
		return Kept{}, err
	}
	if o.Likely.Draws == 0 {
		return Kept{}, errors.New("so many lines of the plan are drawn only when asked: give --draws")
	}
	weeks := make([]plandb.ToldWeek, len(o.Likely.Weeks))
	for i, l := range o.Likely.Weeks {
		weeks[i] = plandb.ToldWeek{Monday: l.Week.Monday(), Class: l.Item.Class, Diameter: l.Item.Diameter,
			Mean: thousandths(l.Mean), P50: 1000 * l.P50, P90: 1000 * l.P90}
	}
	kept := Kept{Lines: len(weeks)}
	err = a.DB.Write(ctx, func(tx *sqlx.Tx) error {
		if _, err := ledgerdb.Lock(ctx, tx, a.Site); err != nil {
			return err
		}
		if err := a.mayPlan(ctx, tx, by, "keep a forecast"); err != nil {
			return err
		}
		kept.Told, err = plandb.AppendTold(ctx, tx, a.Site,
			plandb.Told{At: q.At, By: by, Revision: o.Planned.Revision.Number, Weeks: toldWeeks}, weeks)
		return err
	})
	return kept, err
}

func thousandths(pieces float64) int64 { return int64(math.Round(1000 * pieces)) }

// told sets the use of each past week against the last forecast that was kept
// before it began and covers it. A week without one is not judged.
func (l *learner) told() error {
	first := l.out.From.Monday().AddDays(-7*toldWeeks).At(0, l.v.zone)
	all, err := plandb.ToldSince(l.v.ctx, l.v.kept(), l.v.site, first)
	if err != nil {
		return err
	}
	l.out.Told = map[joint.Item][]demand.Judged{}
	for w := l.out.From; len(all) > 0 && !l.out.To.Before(w); w = w.Next() {
		t, known := toldBefore(all, w, l.v)
		if !known {
			continue
		}
		weeks, err := plandb.ToldWeeks(l.v.ctx, l.v.kept(), l.v.site, t.Number, w.Monday())
		if err != nil {
			return err
		}
		l.judge(w, weeks)
	}
	return nil
}

// toldBefore returns the last forecast that was told before a week began.
func toldBefore(all []plandb.Told, w measure.Week, v *view) (last plandb.Told, known bool) {
	began := w.Monday().At(0, v.zone)
	for _, t := range all {
		covers := measure.DateOf(t.At, v.zone).DaysUntil(w.Monday()) < int(7*t.Weeks)
		if t.At < began && covers {
			last, known = t, true
		}
	}
	return last, known
}

// judge adds a week to the items that were forecast for it or used in it.
func (l *learner) judge(w measure.Week, weeks []plandb.ToldWeek) {
	said := map[joint.Item]plandb.ToldWeek{}
	for _, t := range weeks {
		said[t.Item()] = t
	}
	for i := range l.sums[w] {
		if _, named := said[i]; !named {
			said[i] = plandb.ToldWeek{}
		}
	}
	for i, t := range said {
		j := demand.Judged{Forecast: float64(t.Mean) / 1000, High: float64(t.P90) / 1000, Week: demand.Week{Week: w}}
		if u := l.sums[w][i]; u != nil {
			j.Used = float64(u.Used + u.Free)
		}
		l.out.Told[i] = append(l.out.Told[i], j)
	}
}
