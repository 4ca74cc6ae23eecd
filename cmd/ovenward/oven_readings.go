package main

import (
	"bufio"
	"context"
	"math/big"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
	"ovenward/inventory/measure"
)

func newOvenReadingsCommand(e *env) *cli.Command {
	var t timeOptions
	return &cli.Command{
		Name: "readings", Usage: "the readings themselves, as CSV that oven load reads back", ArgsUsage: "PLACE",
		Description: `   ovenward oven readings H1 --from 2025-06-01 --to 2025-06-30 > june.csv
   ovenward oven load june.csv --sensor sensor

What each sensor of the place showed, not corrected for its error, with nothing
rounded: a temperature that is not a whole hundredth of a degree in Celsius is
written in Fahrenheit.`,
		Flags: t.flags(),
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 {
				return usagef("oven readings takes one place or sensor")
			}
			return runOvenReadings(c.Context, e, c.Args().First(), t)
		},
	}
}

// timeOptions are a stretch of time that is asked about.
type timeOptions struct{ From, To string }

func (o *timeOptions) flags() []cli.Flag {
	return []cli.Flag{
		&cli.StringFlag{Name: "from", Destination: &o.From,
			Usage: "`TIME` or day it begins with; the first reading where left out"},
		&cli.StringFlag{Name: "to", Destination: &o.To, Usage: "`TIME` or day it ends with; now where left out"},
	}
}

// instants reads both ends; zero is left out. A day is taken whole.
func (o timeOptions) instants(ctx context.Context, a *app.App) (from, to measure.Instant, err error) {
	zone, err := a.Zone(ctx)
	if err != nil {
		return 0, 0, err
	}
	if day, ok := asDay(o.From); ok {
		from = day.AddDays(-1).End(zone)
	} else if from, err = instant(ctx, a, o.From); err != nil {
		return 0, 0, err
	}
	if day, ok := asDay(o.To); ok {
		to = day.End(zone)
	} else if to, err = instant(ctx, a, o.To); err != nil {
		return 0, 0, err
	}
	if o.To != "" && to <= from {
		return 0, 0, usagef("--to %q is not after --from %q", o.To, o.From)
	}
	return from, to, nil
}

// period opens the screen of a stretch of time; its end left out is now.
func (e *env) period(ctx context.Context, o timeOptions) (p screen, from, to measure.Instant, err error) {
	if p, err = e.screen(ctx, ""); err != nil {
		return p, 0, 0, err
	}
	if from, to, err = o.instants(ctx, p.app); to == 0 {
		to = p.at
	}
	return p, from, to, err
}

// past is period for what is told in minutes: left out, its end is the last whole
// one.
func (e *env) past(ctx context.Context, o timeOptions) (p screen, from, to measure.Instant, err error) {
	p, from, to, err = e.period(ctx, o)
	if o.To == "" {
		to = to.Minute()
	}
	return p, from, to, err
}

func asDay(text string) (measure.Date, bool) {
	day, err := measure.ParseDate(text)
	return day, err == nil
}

// readingAnswer is one reading for a program.
type readingAnswer struct {
	At     measure.Instant `json:"at_us"`
	Sensor string          `json:"sensor"`
	Temp   string          `json:"temp"`
}

func runOvenReadings(ctx context.Context, e *env, place string, o timeOptions) error {
	p, from, to, err := e.period(ctx, o)
	if err != nil {
		return err
	}
	list, err := p.app.Readings(ctx, place, from, to)
	if err != nil {
		return err
	}
	if p.Format == show.AsJSON {
		return p.JSON(readingAnswers(list))
	}
	return e.writeReadings(list, p.zone)
}

func readingAnswers(list []app.SensorReadings) []readingAnswer {
	all := []readingAnswer{}
	for _, s := range list {
		for _, r := range s.List {
			all = append(all, readingAnswer{At: r.At, Sensor: s.Sensor, Temp: exactly(r.Temp)})
		}
	}
	return all
}

// writeReadings writes one row a reading. It is CSV in every format that is not
// JSON, because nobody reads thousands of rows on a screen.
func (e *env) writeReadings(list []app.SensorReadings, zone *time.Location) error {
	out := bufio.NewWriter(e.out)
	w := show.NewCSV(out)
	if err := w.Write("time", "temp", "sensor"); err != nil {
		return err
	}
	for _, s := range list {
		for _, r := range s.List {
			if err := w.Write(r.At.Time().In(zone).Format(time.RFC3339Nano), exactly(r.Temp), s.Sensor); err != nil {
				return err
			}
		}
	}
	if err := w.Flush(); err != nil {
		return err
	}
	return out.Flush()
}

// exactly prints a temperature without rounding: in Celsius where two decimals
// hold it, else in Fahrenheit, where three always do.
func exactly(t measure.Temperature) string {
	if t%(measure.Degree/100) == 0 {
		return decimals(int64(t), int64(measure.Degree), 2) + " C"
	}
	zero := int64(measure.Fahrenheit(0))
	return decimals(int64(t)-zero, int64(measure.FahrenheitDegree), 3) + " F"
}

// decimals prints a fraction that so many decimals hold.
func decimals(n, of int64, places int) string {
	s := big.NewRat(n, of).FloatString(places)
	return strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
}
