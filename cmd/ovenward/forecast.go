package main

import (
	"context"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
	"ovenward/forecast/demand"
	"ovenward/inventory/measure"
)

// forecastOptions are the options of "ovenward forecast".
type forecastOptions struct {
	from, at, repair, handling string
	weeks                      int
	chart                      chartOptions
	draws                      int
	seed                       uint64
}

func newForecastCommand(e *env) *cli.Command {
	var o forecastOptions
	return &cli.Command{
		Name:     "forecast",
		Category: forBuying,
		Usage:    "what the plan needs week by week, what is short and when",
		Description: `Sets the planned joints against the stock that may go out: of released lots, not
held, not out of date, not over its limit. Rods that must be baked first count
where the rule set allows the bake. Rods that are out do not count.

The stock is run down by the joints as drawn. What is welded again and what gets
lost is added with --repair and --handling.

Beside it stands what the weeks are likely to take, drawn from the limits of
fit-up, repairs, late starts, and from what past weeks used against their plans.

   ovenward forecast --weeks 4 --repair "2 %" --handling "5 %"
   ovenward forecast --chart                  weeks as lines of text
   ovenward forecast --svg need.svg           a picture of need and stock of each item

Weld metal, rods, wire, flux and welder hours are computed; shielding gas is not.`,
		Flags: append(o.chart.flags(),
			&cli.StringFlag{Name: "from", Destination: &o.from,
				Usage: "first `WEEK` to show, 2026-W49; this week where left out"},
			&cli.IntFlag{Name: "weeks", Destination: &o.weeks,
				Usage: "`NUMBER` of weeks; to the end of the plan where left out"},
			&cli.StringFlag{Name: "repair", Destination: &o.repair,
				Usage: "`PART` of the metal that is welded again, such as 2 %"},
			&cli.StringFlag{Name: "handling", Destination: &o.handling,
				Usage: "`PART` of the rods that is lost or scrapped, such as 5 %"},
			&cli.StringFlag{Name: "at", Destination: &o.at, Usage: "stock as judged at a `TIME`; now where left out"},
			&cli.Uint64Flag{Name: "seed", Destination: &o.seed, Value: 1, DefaultText: "1",
				Usage: "`NUMBER` from which the likely need is drawn; the same gives the same"},
			&cli.IntFlag{Name: "draws", Destination: &o.draws,
				Usage: "`NUMBER` of draws; 10,000, and fewer for large plans, where left out"},
		),
		Subcommands: []*cli.Command{newForecastLearnCommand(e), newForecastKeepCommand(e)},
		Action: func(c *cli.Context) error {
			if c.NArg() > 0 {
				return usagef("forecast takes no arguments, got %q", c.Args().First())
			}
			if c.IsSet("weeks") && (o.weeks < 1 || o.weeks > mostWeeks) {
				return usagef("--weeks %d: give 1 to %d", o.weeks, mostWeeks)
			}
			if err := o.chart.check(); err != nil {
				return err
			}
			if c.IsSet("draws") && (o.draws < 1 || o.draws > demand.MostDraws) {
				return usagef("--draws %d: give 1 to %d", o.draws, demand.MostDraws)
			}
			return runForecast(c.Context, e, o)
		},
	}
}

// mostWeeks bounds a forecast to ten years.
const mostWeeks = 520

func runForecast(ctx context.Context, e *env, o forecastOptions) error {
	p, q, err := o.open(ctx, e)
	if err != nil {
		return err
	}
	look, err := p.app.Forecast(ctx, q)
	if err != nil {
		return err
	}
	ans := newForecastAnswer(look)
	if missing := ans.missing(); missing != "" {
		e.warned = true
		if p.Format != show.AsTable { // a table says it itself
			e.warn("%s", missing)
		}
	}
	if done, err := o.chart.draw(e, p.Printer, ans); done || err != nil {
		return err
	}
	return ans.print(p.Printer)
}

// open reads what was typed and opens what the answer is made with.
func (o forecastOptions) open(ctx context.Context, e *env) (p screen, q app.ForecastQuery, err error) {
	if err := o.read(&q); err != nil {
		return p, q, err
	}
	p, err = e.screen(ctx, o.at)
	q.At = p.at
	return p, q, err
}

// read puts what was typed into the query.
func (o forecastOptions) read(q *app.ForecastQuery) (err error) {
	q.Weeks, q.Seed, q.Draws = o.weeks, o.seed, o.draws
	if o.from != "" {
		if q.From, err = measure.ParseWeek(strings.ToUpper(o.from)); err != nil {
			return err
		}
	}
	if q.Allowances.Repair, err = part("repair", o.repair); err != nil {
		return err
	}
	q.Allowances.Handling, err = part("handling", o.handling)
	return err
}

// part reads an allowance: a percentage, because a bare number could be that or
// a ratio.
func part(flag, text string) (float64, error) {
	if text == "" {
		return 0, nil
	}
	number, percent := strings.CutSuffix(strings.TrimSpace(text), "%")
	v, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
	if !percent || err != nil || !(v >= 0 && v <= 100) {
		return 0, usagef("--%s %q: write a percentage from 0 to 100, such as 3 %%", flag, text)
	}
	return v / 100, nil
}

// allowances prints them for the head of a forecast.
func allowances(a demand.Allowances) string {
	if a == (demand.Allowances{}) {
		return "nothing added for repairs and lost rods (--repair, --handling)"
	}
	percent := func(x float64) string { return strconv.FormatFloat(rounded(x*100), 'f', -1, 64) + " %" }
	return "with " + percent(a.Repair) + " for repairs and " + percent(a.Handling) + " for lost rods"
}
