package main

import (
	"context"
	"fmt"
	"time"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
	"ovenward/inventory/measure"
	"ovenward/storage/feed"
)

// climateLoadOptions are the options of "ovenward climate load".
type climateLoadOptions struct {
	feed.Mapping
	Strict, DryRun bool
}

func newClimateLoadCommand(e *env) *cli.Command {
	var o climateLoadOptions
	return &cli.Command{
		Name: "load", Usage: "load a climate log from a CSV file", ArgsUsage: "PLACE FILE",
		Description: `   ovenward climate load store june.csv --time "Date/Time" --temperature "T (C)" --humidity "RH (%)"

The whole file is checked before anything is recorded; rows that cannot be loaded
are listed and the others recorded, one fact a row. What is there already is
stepped over, and what is there with another value stays as it is. FILE - is
standard input. Columns are given by name, with or without the unit behind it, or
by number from 1.`,
		Flags: o.flags(),
		Action: func(c *cli.Context) error {
			if c.NArg() != 2 {
				return usagef("climate load takes a place and a file, or - for standard input")
			}
			return runClimateLoad(c.Context, e, o, c.Args().Get(0), c.Args().Get(1))
		},
	}
}

func (o *climateLoadOptions) flags() []cli.Flag {
	return []cli.Flag{
		&cli.StringFlag{Name: "time", Usage: "`COLUMN` of the times", Destination: &o.Time, Value: "time"},
		&cli.StringFlag{Name: "date", Usage: "`COLUMN` of the dates, where they stand apart from the times", Destination: &o.Date},
		&cli.StringFlag{Name: "temperature", Usage: "`COLUMN` of the temperatures", Destination: &o.Value, Value: "temperature"},
		&cli.StringFlag{Name: "humidity", Usage: "`COLUMN` of the relative humidity", Destination: &o.Humidity, Value: "humidity"},
		&cli.StringFlag{Name: "weather", Usage: "`COLUMN` of the weather in words", Destination: &o.Weather},
		&cli.StringFlag{Name: "unit", Destination: &o.Unit,
			Usage: "`UNIT` of temperatures, C or F; where left out, that of the header or of each cell"},
		&cli.StringFlag{Name: "layout", Destination: &o.Layout,
			Usage: "`LAYOUT` of times that are not like 2025-06-05 06:40: " + feed.Layouts},
		&cli.BoolFlag{Name: "decimal-comma", Destination: &o.DecimalComma, Usage: "21,125 is twenty-one and a bit"},
		&cli.BoolFlag{Name: "strict", Usage: "load nothing where one row is bad", Destination: &o.Strict},
		&cli.BoolFlag{Name: "dry-run", Usage: "check the file and write nothing", Destination: &o.DryRun},
	}
}

// climateLoadAnswer is what a load did, for a program.
type climateLoadAnswer struct {
	File      string          `json:"file"`
	Place     string          `json:"place"`
	DryRun    bool            `json:"dry_run,omitempty"`
	Good      int64           `json:"good"`
	Added     int64           `json:"added"`
	Known     int64           `json:"known"`
	Differing int64           `json:"differing"` // there already with another value, which stays
	Bad       int64           `json:"bad"`
	First     measure.Instant `json:"first_us,omitempty"`
	Last      measure.Instant `json:"last_us,omitempty"`
	BadFirst  []app.BadRow    `json:"bad_first,omitempty"`
}

func runClimateLoad(ctx context.Context, e *env, o climateLoadOptions, place, name string) error {
	f, done, err := e.logFile(ctx, name)
	if err != nil {
		return err
	}
	defer done()
	sum, err := f.app.LoadClimate(ctx, e.by, f.in, o.Mapping, place, app.LoadOptions{Name: f.name, Strict: o.Strict, DryRun: o.DryRun})
	e.warnOfClimate(sum)
	if err != nil {
		return err
	}
	if o.DryRun {
		e.ranDry()
	}
	ans := climateLoadAnswer{File: f.name, Place: sum.Place.Name, DryRun: o.DryRun, Good: sum.Good, Added: sum.Added, Known: sum.Known,
		Differing: sum.Differing, Bad: sum.Bad.Count, First: sum.First, Last: sum.Last, BadFirst: sum.Bad.First}
	return f.Answer(ans, ans.table(f.zone))
}

// warnOfClimate says what of a file was not loaded.
func (e *env) warnOfClimate(sum app.ClimateLoad) {
	for _, b := range sum.Bad.First {
		e.warn("%s", b)
	}
	if more := sum.Bad.Count - int64(len(sum.Bad.First)); more > 0 {
		e.warn("%d rows cannot be loaded in all", sum.Bad.Count)
	}
	if sum.Differing > 0 {
		e.warn("%s recorded with another value and left so; enter what is right with: ovenward climate add",
			counted(int(sum.Differing), "reading is", "readings are"))
	}
}

func (a climateLoadAnswer) table(zone *time.Location) show.Table {
	t := show.Table{Title: a.title(), Head: []string{"place", "readings", "from", "to"}, Right: []int{1}}
	t.Add(a.Place, fmt.Sprint(a.Good), a.First.In(zone), a.Last.In(zone))
	return t
}

func (a climateLoadAnswer) title() string {
	if a.DryRun {
		return fmt.Sprintf("CHECKED  %s: %d readings can be loaded, %d are known, %d rows cannot be; nothing was written",
			a.File, a.Good-a.Known-a.Differing, a.Known, a.Bad)
	}
	return fmt.Sprintf("LOADED   %s: %d new readings, %d known, %d rows not loaded", a.File, a.Added, a.Known+a.Differing, a.Bad)
}
