package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"time"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
	"ovenward/inventory/measure"
	"ovenward/storage/feed"
)

// ovenLoadOptions are the options of "ovenward oven load".
type ovenLoadOptions struct {
	feed.Mapping
	Place  string
	Strict bool
	DryRun bool
}

func newOvenLoadCommand(e *env) *cli.Command {
	var o ovenLoadOptions
	return &cli.Command{
		Name: "load", Usage: "load readings from a logger's CSV file", ArgsUsage: "FILE",
		Description: `   ovenward oven load h1.csv --place H1 --time "Date/Time" --value "Temp (C)"
   ovenward oven load week.csv --time time --value temp --sensor oven --unit F

The whole file is checked before anything is stored. A wrong column or a file
that was cut stores nothing; rows that cannot be loaded are listed and the others
stored. What is there already is stepped over, so a load that was stopped goes on
when it is given again. A reading that is there with another value stays as it
was first stored, and is listed. FILE - is standard input.

Columns are given by name, with or without the unit behind it, or by number from
1. Times are on the site's clock unless they have an offset or their column says
UTC.`,
		Flags: o.flags(),
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 {
				return usagef("oven load takes one file, or - for standard input")
			}
			return runOvenLoad(c.Context, e, o, c.Args().First())
		},
	}
}

func (o *ovenLoadOptions) flags() []cli.Flag {
	return []cli.Flag{
		&cli.StringFlag{Name: "place", Usage: "`PLACE` or sensor that all of the file is of", Destination: &o.Place},
		&cli.StringFlag{Name: "sensor", Usage: "`COLUMN` that names the sensor or place of each row", Destination: &o.Sensor},
		&cli.StringFlag{Name: "time", Usage: "`COLUMN` of the times", Destination: &o.Time, Value: "time"},
		&cli.StringFlag{Name: "value", Usage: "`COLUMN` of the temperatures", Destination: &o.Value, Value: "temp"},
		&cli.StringFlag{Name: "unit", Destination: &o.Unit,
			Usage: "`UNIT` of temperatures, C or F; where left out, that of the header or of each cell"},
		&cli.StringFlag{Name: "layout", Destination: &o.Layout,
			Usage: "`LAYOUT` of times that are not like 2025-06-05 06:40: " + feed.Layouts},
		&cli.BoolFlag{Name: "decimal-comma", Destination: &o.DecimalComma,
			Usage: "130,125 is a hundred and thirty and a bit"},
		&cli.BoolFlag{Name: "strict", Usage: "load nothing where one row is bad", Destination: &o.Strict},
		&cli.BoolFlag{Name: "dry-run", Usage: "check the file and write nothing", Destination: &o.DryRun},
	}
}

// ovenLoadAnswer is what a load did, for a program.
type ovenLoadAnswer struct {
	File      string           `json:"file"`
	DryRun    bool             `json:"dry_run,omitempty"`
	Good      int64            `json:"good"`  // rows that can be loaded
	Added     int64            `json:"added"` // of them, stored now
	Known     int64            `json:"known"` // of them, there already
	Conflicts int64            `json:"conflicts"`
	Bad       int64            `json:"bad"`
	Sensors   []loadedAnswer   `json:"sensors"`
	Differing []conflictAnswer `json:"conflicts_first,omitempty"`
	BadFirst  []app.BadRow     `json:"bad_first,omitempty"`
}

type loadedAnswer struct {
	Sensor string          `json:"sensor"`
	Place  string          `json:"place"`
	New    bool            `json:"new,omitempty"`
	Rows   int64           `json:"rows"`
	First  measure.Instant `json:"first_us"`
	Last   measure.Instant `json:"last_us"`
}

type conflictAnswer struct {
	Line   int64           `json:"line"`
	Sensor string          `json:"sensor"`
	At     measure.Instant `json:"at_us"`
	Stored string          `json:"stored"`
	File   string          `json:"file"`
}

func runOvenLoad(ctx context.Context, e *env, o ovenLoadOptions, name string) error {
	f, done, err := e.logFile(ctx, name)
	if err != nil {
		return err
	}
	defer done()
	sum, err := f.app.LoadReadings(ctx, e.by, f.in, o.Mapping, o.Place,
		app.LoadOptions{Name: f.name, Strict: o.Strict, DryRun: o.DryRun})
	e.warnOfLoad(sum, f.zone)
	if err != nil {
		return err
	}
	if o.DryRun {
		e.ranDry()
	}
	ans := newOvenLoadAnswer(f.name, o.DryRun, sum)
	return f.Answer(ans, ans.table(f.zone))
}

func cannotLoad(name string, err error) error {
	if bad, ok := errors.AsType[*fs.PathError](err); ok {
		err = bad.Err
	}
	return &app.LoadError{Name: name, Err: err,
		Next: "name the CSV file that the logger wrote, or - for standard input"}
}

// warnOfLoad says what of a file was not loaded.
func (e *env) warnOfLoad(sum app.LoadSummary, zone *time.Location) {
	for _, b := range sum.Bad.First {
		e.warn("%s", b)
	}
	if more := sum.Bad.Count - int64(len(sum.Bad.First)); more > 0 && len(sum.Bad.First) > 1 {
		e.warn("%d rows cannot be loaded in all", sum.Bad.Count)
	}
	for _, c := range sum.Conflicts.First {
		e.warn("line %d: %s at %s is stored as %s and left so; the file says %s",
			c.Line, c.Sensor, c.At.In(zone), exactly(c.Stored), exactly(c.File))
	}
	if more := sum.Conflicts.Count - int64(len(sum.Conflicts.First)); more > 0 {
		e.warn("%d readings are stored with another value in all", sum.Conflicts.Count)
	}
}

func newOvenLoadAnswer(name string, dry bool, sum app.LoadSummary) ovenLoadAnswer {
	ans := ovenLoadAnswer{File: name, DryRun: dry, Good: sum.Good, Added: sum.Added, Known: sum.Known,
		Conflicts: sum.Conflicts.Count, Bad: sum.Bad.Count, BadFirst: sum.Bad.First, Sensors: []loadedAnswer{}}
	for _, s := range sum.Sensors {
		ans.Sensors = append(ans.Sensors, loadedAnswer{Sensor: s.Sensor, Place: s.Place.Name, New: s.New,
			Rows: s.Rows, First: s.First, Last: s.Last})
	}
	for _, c := range sum.Conflicts.First {
		ans.Differing = append(ans.Differing, conflictAnswer{Line: c.Line, Sensor: c.Sensor, At: c.At,
			Stored: exactly(c.Stored), File: exactly(c.File)})
	}
	return ans
}

func (a ovenLoadAnswer) table(zone *time.Location) show.Table {
	t := show.Table{Title: a.title(), Head: []string{"sensor", "place", "readings", "from", "to"}, Right: []int{2}}
	for _, s := range a.Sensors {
		t.Add(s.Sensor, s.Place, fmt.Sprint(s.Rows), s.First.In(zone), s.Last.In(zone))
	}
	return t
}

func (a ovenLoadAnswer) title() string {
	if a.DryRun {
		return fmt.Sprintf("CHECKED  %s: %d readings can be loaded, %d rows cannot; nothing was written",
			a.File, a.Good, a.Bad)
	}
	s := fmt.Sprintf("LOADED   %s: %d new readings, %d known", a.File, a.Added, a.Known)
	if a.Conflicts > 0 {
		s += fmt.Sprintf(", %d known with another value", a.Conflicts)
	}
	if a.Bad > 0 {
		s += fmt.Sprintf(", %d rows not loaded", a.Bad)
	}
	return s
}
