package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/demo"
	"ovenward/cmd/internal/report"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
)

func newDemoCommand(e *env) *cli.Command {
	var dir string
	return &cli.Command{
		Name:     "demo",
		Category: setUp,
		Usage:    "build an invented shop with a month of work and show each user's first screens",
		Flags: []cli.Flag{&cli.StringFlag{Name: "dir", Usage: "`FOLDER` for its database; a new temporary one where left out",
			Destination: &dir}},
		Action: func(c *cli.Context) error {
			if c.NArg() > 0 {
				return usagef("demo takes no arguments, got %q", c.Args().First())
			}
			return runDemo(c.Context, e, dir)
		},
	}
}

const demoSite = "demo"

func runDemo(ctx context.Context, e *env, dir string) (err error) {
	if dir == "" {
		if dir, err = os.MkdirTemp("", "ovenward-demo-"); err != nil {
			return err
		}
	}
	file := filepath.Join(dir, "shop.db")
	if _, err := os.Stat(file); err == nil {
		return usagef("%s is there already: name another folder", file)
	}
	e.dsn, e.site, e.via = "sqlite:"+file, demoSite, "demo"
	if e.db, err = db.Open(ctx, e.dsn); err != nil {
		return err
	}
	began := e.now()
	now := measure.At(began)
	built, err := demo.Build(ctx, e.db, demoSite, now.Minute())
	if err != nil {
		return err
	}
	e.now = func() time.Time { return now.Minute().Time() }
	if err := e.demoStory(ctx, built, time.Since(began)); err != nil {
		return err
	}
	if err := e.demoScreens(ctx, built); err != nil {
		return err
	}
	return e.demoNext(file, built)
}

// demoStory tells what happened in the month.
func (e *env) demoStory(ctx context.Context, b demo.Built, took time.Duration) error {
	a, err := e.open(ctx)
	if err != nil {
		return err
	}
	zone, err := a.Zone(ctx)
	if err != nil {
		return err
	}
	fmt.Fprintf(e.out, "An invented shop, a month of work: %d facts recorded in %.1f s, every one through\nthe same code as at the window. What went wrong:\n\n", b.Facts, took.Seconds())
	slices.SortStableFunc(b.Stories, func(x, y demo.Story) int { return int(min(1, max(-1, x.At-y.At))) })
	for _, s := range b.Stories {
		fmt.Fprintf(e.out, "  %s  %s\n", when(s.At, zone)[:10], s.Text)
	}
	codes := make([]string, 0, len(b.Refused))
	for c, n := range b.Refused {
		codes = append(codes, fmt.Sprintf("%s %d", c, n))
	}
	slices.Sort(codes)
	_, err = fmt.Fprintf(e.out, "\nRefused at the window: %s.\n", strings.Join(codes, ", "))
	return err
}

// demoScreens shows what each of the three users would look at first.
func (e *env) demoScreens(ctx context.Context, b demo.Built) error {
	exceptions, err := report.Find("exceptions")
	if err != nil {
		return err
	}
	only := reportOptions{timeOptions: timeOptions{From: string(b.QADay)}, Part: "exceptions"}
	for _, s := range []struct {
		who, command string
		run          func() error
	}{
		{"THE ATTENDANT, at the window", "out", func() error { return runOut(ctx, e, "") }},
		{"", "alert list", func() error { return runAlertList(ctx, e, false) }},
		{"", "stock", func() error { return runStock(ctx, e, "", "", "") }},
		{"QA: where did a lot with the wrong certificate go?", "trace " + b.Lot, func() error { return runTrace(ctx, e, b.Lot) }},
		{"QA: what waits for a decision, and what was out of the ordinary today?", "decide list",
			func() error { return runDecideList(ctx, e, "") }},
		{"", "report exceptions --part exceptions --from " + only.From, func() error { return runReport(ctx, e, exceptions, "", only) }},
		{"QA: what happened to the rods of a can that was left on the bench?", "exposure " + b.Bundle,
			func() error { return runExposure(ctx, e, b.Bundle, "", againOptions{}) }},
		{"PURCHASING: what do the next weeks' joints need, and what is short?", "forecast",
			func() error { return runForecast(ctx, e, forecastOptions{}) }},
	} {
		if s.who != "" {
			fmt.Fprintf(e.out, "\n%s\n%s\n", s.who, strings.Repeat("=", len(s.who)))
		}
		fmt.Fprintf(e.out, "\n$ ovenward %s\n", s.command)
		if err := s.run(); err != nil {
			return err
		}
	}
	return nil
}

// demoNext says what to try next.
func (e *env) demoNext(file string, b demo.Built) error {
	_, err := fmt.Fprintf(e.out, `
TRY NEXT, in this shop:

   export OVENWARD_DB=sqlite:%s OVENWARD_SITE=%s OVENWARD_BY=Ines
   ovenward issue --class E7018 --size "1/8 in" --pieces 20 --welder W3 --joint J-900
   ovenward out
   ovenward return SLIP --unused 12 --stubs 8 --into H2
   ovenward trace %s
   ovenward --by Ruth decide %s --approve
   ovenward ledger verify
   ovenward --help

Where ovenward is not installed, write: go run ./cmd/ovenward COMMAND
`, file, demoSite, b.Joint, b.Proposal)
	return err
}
