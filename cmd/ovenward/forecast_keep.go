package main

import (
	"context"
	"fmt"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/show"
	"ovenward/forecast/demand"
	"ovenward/inventory/measure"
)

func newForecastKeepCommand(e *env) *cli.Command {
	var o forecastOptions
	return &cli.Command{
		Name:  "keep",
		Usage: "keep the forecast of the next 13 weeks as it is told now, to judge it by later",
		Description: `Run it once a week, before the week begins, from cron:

   0 5 * * 1  ovenward forecast keep --by purchasing

What was kept is not changed by what is loaded or learnt afterwards. ovenward forecast
learn sets the use of each past week against the last forecast that was kept before
the week began.`,
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "repair", Destination: &o.repair, Usage: "`PART` of the metal that is welded again, such as 2 %"},
			&cli.StringFlag{Name: "handling", Destination: &o.handling, Usage: "`PART` of the rods that is lost or scrapped, such as 5 %"},
			&cli.IntFlag{Name: "draws", Destination: &o.draws, Usage: "`NUMBER` of draws; 10,000, and fewer for large plans, where left out"},
		},
		Action: func(c *cli.Context) error {
			if c.NArg() > 0 {
				return usagef("forecast keep takes no arguments, got %q", c.Args().First())
			}
			if c.IsSet("draws") && (o.draws < 1 || o.draws > demand.MostDraws) {
				return usagef("--draws %d: give 1 to %d", o.draws, demand.MostDraws)
			}
			o.seed = 1
			return runForecastKeep(c.Context, e, o)
		},
	}
}

// keptAnswer is a forecast that was kept, for a program.
type keptAnswer struct {
	Number   int64           `json:"number"`
	Told     measure.Instant `json:"told_us"`
	By       string          `json:"by"`
	Revision int64           `json:"plan_revision"`
	Weeks    int64           `json:"weeks"`
	Lines    int             `json:"lines"`
}

func runForecastKeep(ctx context.Context, e *env, o forecastOptions) error {
	p, q, err := o.open(ctx, e)
	if err != nil {
		return err
	}
	k, err := p.app.KeepForecast(ctx, e.by, q)
	if err != nil {
		return err
	}
	a := keptAnswer{Number: k.Told.Number, Told: k.Told.At, By: k.Told.By, Revision: k.Told.Revision, Weeks: k.Told.Weeks, Lines: k.Lines}
	t := show.Table{Title: "KEPT as it is told now", Right: []int{0, 2, 3, 4}, Head: []string{"forecast", "told", "plan revision", "weeks", "lines"},
		Note: "compared with use by: ovenward forecast learn"}
	t.Add(fmt.Sprint(a.Number), when(a.Told, p.zone), fmt.Sprint(a.Revision), fmt.Sprint(a.Weeks), fmt.Sprint(a.Lines))
	return p.Answer(a, t)
}
