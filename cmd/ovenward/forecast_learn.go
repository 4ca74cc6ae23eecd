package main

import (
	"context"
	"fmt"
	"maps"
	"math"
	"slices"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
	"ovenward/forecast/demand"
	"ovenward/forecast/joint"
	"ovenward/forecast/metal"
	"ovenward/inventory/measure"
)

func newForecastLearnCommand(e *env) *cli.Command {
	var o forecastOptions
	return &cli.Command{
		Name:  "learn",
		Usage: "what past weeks used against their plans, and what that teaches",
		Description: `Sets what was issued, returned, scrapped and used in each of the last 26 whole
weeks against the plan that was in force when the week began. The factor that
comes of it goes into every forecast by itself. How good forecasts are is told
by forecasting each past week from the weeks before it, and, of weeks before which one
was kept (ovenward forecast keep), by what was really told.`,
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "repair", Destination: &o.repair, Usage: "`PART` of the metal that is welded again, such as 2 %"},
			&cli.StringFlag{Name: "handling", Destination: &o.handling, Usage: "`PART` of the rods that is lost or scrapped, such as 5 %"},
			&cli.StringFlag{Name: "at", Destination: &o.at, Usage: "as seen at a `TIME`; now where left out"},
		},
		Action: func(c *cli.Context) error {
			if c.NArg() > 0 {
				return usagef("forecast learn takes no arguments, got %q", c.Args().First())
			}
			return runForecastLearn(c.Context, e, o)
		},
	}
}

func runForecastLearn(ctx context.Context, e *env, o forecastOptions) error {
	p, q, err := o.open(ctx, e)
	if err != nil {
		return err
	}
	l, err := p.app.Learn(ctx, q)
	if err != nil {
		return err
	}
	return newLearnAnswer(l).print(p.Printer, p.units)
}

// learnAnswer is what past weeks teach, for a program.
type learnAnswer struct {
	From  string      `json:"from"`
	To    string      `json:"to"`
	Weeks []learnWeek `json:"weeks"`
	Items []learnItem `json:"items"`
	Jobs  []learnJob  `json:"jobs"`
	Norm  learnNorm   `json:"norm_of_jobs"`
	Notes []string    `json:"notes"`
}

type learnWeek struct {
	Week     string  `json:"week"`
	Class    string  `json:"class"`
	Diameter float64 `json:"diameter_mm"`
	Expected float64 `json:"expected_by_plan"`
	Issued   int64   `json:"issued"`
	Returned int64   `json:"returned"`
	Scrapped int64   `json:"scrapped"`
	Used     int64   `json:"used"`
	Free     int64   `json:"used_not_planned"`
	item     joint.Item
}

type learnItem struct {
	Class    string      `json:"class"`
	Diameter float64     `json:"diameter_mm"`
	Factor   float64     `json:"use_over_plan"`
	Known    float64     `json:"use_over_plan_deviation"`
	Raw      float64     `json:"use_over_plan_seen"`
	Weeks    int         `json:"weeks_behind_it"`
	Bias     *float64    `json:"forecast_bias"`  // null: nothing to judge by
	Error    *float64    `json:"forecast_error"` // null: nothing to judge by
	Method   string      `json:"not_planned_by"`
	Pattern  string      `json:"not_planned_comes"`
	Usual    float64     `json:"not_planned_a_week"`
	Scores   []score     `json:"not_planned_methods"`
	Told     *toldAnswer `json:"as_told"` // null: no forecast was kept before a past week
	item     joint.Item
}

// toldAnswer is how forecasts did that were kept as they were told: pieces a week,
// against all use.
type toldAnswer struct {
	Weeks  int      `json:"weeks"`
	Bias   float64  `json:"bias"`
	MAE    float64  `json:"mae"`
	MASE   *float64 `json:"mase"`
	Within int      `json:"weeks_within_p90"`
}

func newTold(list []demand.Judged) *toldAnswer {
	if len(list) == 0 {
		return nil
	}
	t := demand.TrackOf(list)
	return &toldAnswer{Weeks: t.Weeks, Bias: rounded(t.Bias), MAE: rounded(t.MAE), MASE: known(t.MASE), Within: t.Within}
}

// text says how the forecasts of an item did that were told.
func (t toldAnswer) text(i joint.Item, units measure.UnitSystem) string {
	high := "too high"
	if t.Bias < 0 {
		high = "too low"
	}
	return fmt.Sprintf("%s: %s a week %s in the mean, off by %s (MASE %s); %d of %s took no more than P90", i,
		itemRate(i, math.Abs(t.Bias), units), high, itemRate(i, t.MAE, units), figure(t.MASE), t.Within, counted(t.Weeks, "week", "weeks"))
}

type score struct {
	Method  string   `json:"method"`
	MASE    *float64 `json:"mase"`
	Pinball *float64 `json:"pinball_p90"`
}

// known returns a figure for a program: none where it is not a number.
func known(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	x = rounded(x)
	return &x
}

func newLearnAnswer(l app.Learnt) *learnAnswer {
	a := &learnAnswer{From: l.From.String(), To: l.To.String(), Weeks: []learnWeek{}, Items: []learnItem{}, Notes: []string{}}
	for _, u := range l.Weeks {
		a.Weeks = append(a.Weeks, learnWeek{Week: u.Week.String(), Class: u.Item.Class, Diameter: millimetres(u.Item),
			Expected: rounded(u.Expected), Issued: u.Issued, Returned: u.Returned, Scrapped: u.Scrapped,
			Used: u.Used, Free: u.Free, item: u.Item})
	}
	all := maps.Clone(l.Ratios)
	for i := range l.Told { // what was told and neither planned nor used
		if _, known := all[i]; !known {
			all[i] = demand.UntaughtRatio
		}
	}
	for _, i := range slices.SortedFunc(maps.Keys(all), joint.Item.Compare) {
		a.Items = append(a.Items, newLearnItem(i, l))
	}
	a.setJobs(l)
	if l.Open > 0 {
		a.Notes = append(a.Notes, counted(l.Open, "slip", "slips")+" of these weeks still out, of which no use is counted")
	}
	if l.NoPlan > 0 {
		a.Notes = append(a.Notes, counted(l.NoPlan, "week", "weeks")+" before the first plan was loaded: all use in them is not planned")
	}
	return a
}

func newLearnItem(i joint.Item, l app.Learnt) learnItem {
	k, taught := l.Ratios[i]
	if !taught {
		k = demand.UntaughtRatio
	}
	f := learnItem{Class: i.Class, Diameter: millimetres(i), Factor: rounded(k.Mean), Known: rounded(k.Deviation),
		Raw: rounded(k.Raw), Weeks: k.Weeks, Scores: []score{}, item: i}
	f.Told = newTold(l.Told[i])
	bias, failure := demand.Accuracy(demand.Hindsight(l.WeeksOf(i)))
	f.Bias, f.Error = known(bias), known(failure)
	past := l.Free[i]
	method, scores := demand.Choose(past)
	pattern, _, _ := demand.PatternOf(past)
	f.Method, f.Pattern = string(method), string(pattern)
	f.Usual = rounded(method.Forecast(past, demand.Smoothing))
	for _, s := range scores {
		f.Scores = append(f.Scores, score{string(s.Method), known(s.MASE), known(s.Pinball)})
	}
	return f
}

func (a *learnAnswer) print(p *show.Printer, units measure.UnitSystem) error {
	weeks := show.Table{Right: []int{2, 3, 4, 5, 6, 7}, Title: fmt.Sprintf("USE AGAINST PLAN in %s, %s to %s", nounOf(a.Weeks, func(w learnWeek) joint.Item { return w.item }), a.From, a.To),
		Head:  []string{"week", "item", "by plan", "issued", "back", "scrap", "used", "extra"},
		Empty: "No rods were planned or issued in these weeks.",
		Note:  "used is for joints of the plan, extra for what no joint of it explains"}
	for _, w := range a.Weeks {
		say := func(n int64) string { return app.ItemAmount(w.item, n, units) }
		weeks.Add(w.Week, w.item.String(), say(int64(math.Round(w.Expected))), say(w.Issued), say(w.Returned),
			say(w.Scrapped), say(w.Used), say(w.Free))
	}
	if p.Format != show.AsTable {
		return p.Answer(a, weeks)
	}
	items := show.Table{Right: []int{1, 2, 3, 4, 5, 6}, Title: "FACTOR CARRIED FORWARD, which every forecast takes",
		Head:  []string{"item", "factor", "+/-", "weeks", "seen", "bias", "error", "extra a week"},
		Empty: "Nothing was learnt yet: forecasts take the tables as they are."}
	for _, f := range a.Items {
		items.Add(f.item.String(), fmt.Sprintf("%.2f", f.Factor), fmt.Sprintf("%.2f", f.Known), fmt.Sprint(f.Weeks),
			fmt.Sprintf("%.2f", f.Raw), percentOf(f.Bias), percentOf(f.Error), extra(f.item, f.Usual, units)+" by "+f.Method)
	}
	if err := p.Answer(a, weeks, items, a.jobTable(units)); err != nil {
		return err
	}
	if err := section(p, "FORECASTS AS THEY WERE TOLD, against all use of their weeks", a.toldLines(units)); err != nil {
		return err
	}
	notes := append([]string{"bias and error are of each week forecast from the weeks before it; few weeks are drawn toward 1"}, a.Notes...)
	for _, f := range a.Items {
		for _, s := range f.Scores {
			notes = append(notes, fmt.Sprintf("%s, extra by %s: MASE %s, pinball loss of P90 %s", f.item, s.Method, figure(s.MASE), figure(s.Pinball)))
		}
	}
	return section(p, "NOTES", notes)
}

// toldLines say how the forecasts did that were kept.
func (a *learnAnswer) toldLines(units measure.UnitSystem) []string {
	var lines []string
	for _, f := range a.Items {
		if f.Told != nil {
			lines = append(lines, f.Told.text(f.item, units))
		}
	}
	return lines
}

// extra prints the use of a week that no joint explains.
func extra(i joint.Item, n float64, units measure.UnitSystem) string {
	if metal.ByMass(i.Class) {
		return itemRate(i, n, units)
	}
	return fmt.Sprintf("%.1f", n)
}

func percentOf(x *float64) string {
	if x == nil {
		return "-"
	}
	return fmt.Sprintf("%+.0f %%", 100**x)
}

func figure(x *float64) string {
	if x == nil {
		return "not known"
	}
	return fmt.Sprintf("%.2f", *x)
}
