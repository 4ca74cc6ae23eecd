package app

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/feed"
)

// check reads the whole file and keeps its good rows.
func (l *loading) check(ctx context.Context, r io.Reader, place string) error {
	if err := l.columnOrPlace(place); err != nil {
		return err
	}
	var one *target
	if place != "" {
		var err error
		if one, err = l.find(ctx, place); err != nil {
			return err
		}
	}
	zone, err := l.app.Zone(ctx)
	if err != nil {
		return err
	}
	l.sum.File, err = feed.Read(r, l.mapping, zone, func(row feed.Row) error {
		t := one
		if t == nil {
			if t, err = l.named(ctx, row); err != nil {
				return err
			}
		}
		return l.take(t, row, zone)
	})
	bad, isBad := errors.AsType[*feed.RowErrors](err)
	switch {
	case isBad:
		l.sum.Bad.read(bad)
	case isFile(err):
		l.sum = LoadSummary{} // what was found until then is of no use
		return &LoadError{Name: l.options.Name, Err: err, Next: nextFor(err)}
	case err != nil:
		return err
	}
	return l.conclude()
}

// columnOrPlace refuses a load that says nothing of whose readings they are, or
// two things.
func (l *loading) columnOrPlace(place string) error {
	why := ""
	switch {
	case place == "" && l.mapping.Sensor == "":
		why = "nothing says whose readings these are"
	case place != "" && l.mapping.Sensor != "":
		why = "both a place and a column of sensors are given"
	default:
		return nil
	}
	return &LoadError{Name: l.options.Name, Err: errors.New(why),
		Next: "give --place for a file of one oven, or --sensor with the column that names sensors or places"}
}

// named returns the target that a row names.
func (l *loading) named(ctx context.Context, row feed.Row) (*target, error) {
	if t, ok := l.names[row.Sensor]; ok {
		return t, nil
	}
	t, err := l.find(ctx, row.Sensor)
	if ref, ok := errors.AsType[*inventory.Refusal](err); ok {
		t, err = &target{bad: &BadRow{Line: row.Line, Column: l.mapping.Sensor, Value: row.Sensor,
			Why: strings.TrimSuffix(ref.Why, "; "+ref.Next), Next: ref.Next}}, nil
	}
	l.names[row.Sensor] = t
	return t, err
}

// find returns the target of a sensor, or of the one sensor at a place. Two names
// may mean one sensor.
func (l *loading) find(ctx context.Context, name string) (*target, error) {
	found, err := l.app.findSensor(ctx, name)
	if err != nil {
		return nil, err
	}
	t := &target{index: len(l.targets), LoadedSensor: LoadedSensor{Sensor: found.Name}}
	if found.Name == "" { // a place that has none yet
		t.Sensor, t.New = found.Place, true
	}
	for _, have := range l.targets {
		if have.Sensor == t.Sensor {
			return have, nil
		}
	}
	if t.Place, err = l.app.Place(ctx, found.Place); err != nil {
		return nil, err
	}
	l.targets = append(l.targets, t)
	return t, nil
}

// take keeps a row that is a reading of this site, or says why it is none.
func (l *loading) take(t *target, row feed.Row, zone *time.Location) error {
	if t.bad != nil {
		t.count++
		return nil
	}
	if row.At > l.now {
		l.sum.Bad.add(BadRow{Line: row.Line, Column: l.mapping.Time, Value: row.At.In(zone),
			Why:  "the clock says " + l.now.In(zone),
			Next: "check the logger's clock and this machine's, and that --layout does not change day and month"})
		return nil
	}
	if implausibleAt(t.Place, row.Temp) {
		l.sum.Bad.add(implausible(t, row, l.mapping.Value, zone))
		return nil
	}
	return l.keep(t, row)
}

// keep spools the row before, because of the last row it is known only at the
// end of the file whether it is whole.
func (l *loading) keep(t *target, row feed.Row) error {
	err := l.settle()
	l.last, l.lastOf = row, t
	return err
}

// settle spools the row that was kept last.
func (l *loading) settle() error {
	t, row := l.lastOf, l.last
	if t == nil {
		return nil
	}
	l.lastOf = nil
	if t.Rows == 0 {
		t.First, t.Last = row.At, row.At
	}
	t.Rows++
	t.First, t.Last = min(t.First, row.At), max(t.Last, row.At)
	return l.spool.add(spooled{target: t.index, line: row.Line, at: row.At, temp: row.Temp})
}

// implausible is a bad row that no place of its kind shows: a wrong unit, a
// broken sensor, or a fire.
func implausible(t *target, row feed.Row, column string, zone *time.Location) BadRow {
	return BadRow{Line: row.Line, Column: column, Value: row.Temp.String(),
		Why: fmt.Sprintf("%s in a %s", row.Temp.InBoth(measure.SI), t.Place.Kind),
		Next: fmt.Sprintf("check the unit and the sensor; if it is true, enter it by itself: "+
			"ovenward oven read %q %q --at %q --confirm", t.Sensor, strings.ReplaceAll(row.Temp.String(), "°", ""), row.At.In(zone))}
}

// conclude judges the file as a whole.
func (l *loading) conclude() error {
	if l.lastOf != nil && l.sum.File.Unfinished && l.last.Line == l.sum.File.Lines {
		l.sum.Bad.add(BadRow{Line: l.last.Line, Column: l.mapping.Value, Value: l.last.Temp.String(),
			Why:  "the last line has no end: if the file was cut, its figure may be too",
			Next: "export it again, or end the line and load it again"})
		l.lastOf = nil
	}
	if err := l.settle(); err != nil {
		return err
	}
	for _, t := range l.names {
		if t.bad != nil {
			l.sum.Bad.addMany(*t.bad, t.count)
		}
	}
	l.sum.Bad.order()
	for _, t := range l.targets {
		if l.sum.Good += t.Rows; t.Rows > 0 {
			l.sum.Sensors = append(l.sum.Sensors, t.LoadedSensor)
		}
	}
	slices.SortFunc(l.sum.Sensors, func(a, b LoadedSensor) int { return cmp.Compare(a.Sensor, b.Sensor) })
	return l.verdict()
}

// verdict refuses a file of which nothing may be stored.
func (l *loading) verdict() error {
	const next = "mend the rows that are listed, and load the file again"
	e := &LoadError{Name: l.options.Name, Next: next}
	switch bad := l.sum.Bad.Count; {
	case l.sum.Good == 0 && bad == 0:
		e.Err, e.Next = errors.New("there is no reading below the header"), "export it again"
	case l.sum.Good == 0:
		e.Err = errors.New("not one of its rows can be loaded")
	case l.options.Strict && bad > 0:
		e.Err = fmt.Errorf("%d of its rows cannot be loaded, and --strict was given", bad)
		e.Next += ", or load the others without --strict"
	default:
		return nil
	}
	return e
}
