package app

import (
	"context"
	"fmt"
	"io"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/feed"
)

// LoadOptions say how a file of readings is loaded.
type LoadOptions struct {
	Name   string // of the file, for messages
	Strict bool   // one bad row keeps the whole file out
	DryRun bool   // check the file and write nothing
}

// LoadSummary is what a file of readings held and what became of it.
type LoadSummary struct {
	File      feed.Summary
	Sensors   []LoadedSensor // that its good rows are of, by name
	Good      int64          // rows that are readings of this site
	Added     int64          // of them, stored now
	Known     int64          // of them, there already
	Conflicts Conflicts      // of them, there already with another value
	Bad       BadRows
}

// LoadedSensor is a sensor that a file has readings of.
type LoadedSensor struct {
	Sensor      string
	Place       inventory.Place
	New         bool // set up by this load, for a place that had none
	Rows        int64
	First, Last measure.Instant
}

// Conflicts are readings of a file that are stored with another value. What was
// stored first stays.
type Conflicts struct {
	Count int64
	First []Conflict // the first 20
}

// Conflict is one reading of a file that is stored with another value.
type Conflict struct {
	Line   int64
	Sensor string
	At     measure.Instant
	Stored measure.Temperature
	File   measure.Temperature
}

// listed is how many bad rows and how many conflicts are kept to be shown.
const listed = 20

// LoadReadings loads a file of readings: all rows are checked before the first
// is stored. The rows are of the sensors that the mapping's column names, or all
// of one place or sensor. A place without a sensor gets one of its name.
//
// Good rows are stored and bad ones reported. What is there already is stepped
// over, so that a load that was stopped goes on when the file is loaded again.
// The error is a *LoadError, with nothing stored, for a file that cannot be
// trusted as a whole, has no good row, or has a bad one under Strict; a
// *inventory.Refusal for an unknown place or where nobody is named who sets up a
// sensor; or what went wrong half-way, with what was stored until then in the
// summary.
func (a *App) LoadReadings(ctx context.Context, by string, r io.Reader, m feed.Mapping, place string, o LoadOptions) (
	sum LoadSummary, err error) {
	l := loading{app: a, by: by, mapping: m, options: o, now: a.now(), names: map[string]*target{}}
	if l.spool, err = newSpool(); err != nil {
		return LoadSummary{}, err
	}
	defer func() {
		if cerr := l.spool.remove(); err == nil {
			err = cerr
		}
	}()
	if err := l.check(ctx, r, place); err != nil || o.DryRun {
		return l.sum, err
	}
	if err := l.setUp(ctx); err != nil {
		return l.sum, err
	}
	if err := l.store(ctx); err != nil {
		return l.sum, fmt.Errorf("%s: %d of %d readings are stored; load it again to go on: %w",
			o.Name, l.sum.Added+l.sum.Known+l.sum.Conflicts.Count, l.sum.Good, err)
	}
	return l.sum, nil
}

// loading is a file while it is loaded.
type loading struct {
	app     *App
	by      string
	mapping feed.Mapping
	options LoadOptions
	now     measure.Instant
	spool   *spool
	names   map[string]*target // by what stands in the file
	targets []*target          // one for each sensor, in the order of the file
	last    feed.Row           // the last good row, not spooled yet
	lastOf  *target            // whose it is; nil: there is none
	sum     LoadSummary
}

// target is a sensor that rows of the file are stored under.
type target struct {
	LoadedSensor
	index int
	bad   *BadRow   // no such sensor: the first row that names it
	count int64     // of rows that name no such sensor
	rows  []spooled // of the window that is being stored
}

// setUp makes the sensors that there are not yet, before anything else is
// written.
func (l *loading) setUp(ctx context.Context) error {
	for _, t := range l.targets {
		if !t.New || t.Rows == 0 {
			continue
		}
		if _, err := l.app.Sensor(ctx, l.by, t.Sensor, t.First); err != nil {
			return err
		}
	}
	return nil
}
