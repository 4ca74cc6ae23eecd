package app

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/google/uuid"
	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/air"
	"ovenward/storage/feed"
	"ovenward/storage/ovendb"
)

// ClimateLoad is what a file of climate readings held and what became of it.
type ClimateLoad struct {
	File        feed.Summary
	Place       inventory.Place
	Good        int64 // rows that are readings
	Added       int64 // of them, recorded now
	Known       int64 // of them, there already
	Differing   int64 // of them, there already with another value; what is there stays
	First, Last measure.Instant
	Bad         BadRows
}

// LoadClimate records the readings of a file as facts, one a row, of the air of one
// place. All rows are checked before the first is recorded; good rows are recorded
// and bad ones reported. What is there already is stepped over, so that a load that
// was stopped goes on when the file is loaded again. The error is as that of
// LoadReadings.
func (a *App) LoadClimate(ctx context.Context, by string, r io.Reader, m feed.Mapping, place string, o LoadOptions) (
	ClimateLoad, error) {
	if strings.TrimSpace(by) == "" {
		return ClimateLoad{}, nobody()
	}
	l := climateLoading{app: a, by: by, options: o, mapping: m, now: a.now()}
	err := a.read(ctx, 0, func(v *view) (err error) {
		l.zone = v.zone
		l.sum.Place, err = v.airPlace(place)
		return err
	})
	if err != nil {
		return l.sum, err
	}
	if err := l.check(r); err != nil {
		return l.sum, err
	}
	if err := l.compare(ctx); err != nil || o.DryRun {
		return l.sum, err
	}
	return l.sum, l.store(ctx)
}

// climateLoading is a file while it is loaded.
type climateLoading struct {
	app     *App
	by      string
	mapping feed.Mapping
	options LoadOptions
	now     measure.Instant
	zone    *time.Location
	rows    []feed.Row
	sum     ClimateLoad
}

// check reads the whole file and keeps its good rows.
func (l *climateLoading) check(r io.Reader) (err error) {
	l.sum.File, err = feed.Read(r, l.mapping, l.zone, func(row feed.Row) error { l.take(row); return nil })
	bad, isBad := errors.AsType[*feed.RowErrors](err)
	switch {
	case isBad:
		l.sum.Bad.read(bad)
	case isFile(err):
		return &LoadError{Name: l.options.Name, Err: err, Next: strings.Replace(nextFor(err), "--value and --sensor", "--temperature and --humidity", 1)}
	case err != nil:
		return err
	}
	l.sum.Bad.order()
	l.sum.Good = int64(len(l.rows))
	e := &LoadError{Name: l.options.Name, Next: "mend the rows that are listed, and load the file again"}
	switch bad := l.sum.Bad.Count; {
	case l.sum.Good == 0:
		e.Err = errors.New("not one of its rows is a reading of the air")
	case l.options.Strict && bad > 0:
		e.Err = fmt.Errorf("%d of its rows cannot be loaded, and --strict was given", bad)
	default:
		return nil
	}
	return e
}

// take keeps a row that may be true.
func (l *climateLoading) take(row feed.Row) {
	if row.At > l.now {
		l.sum.Bad.add(BadRow{Line: row.Line, Column: l.mapping.Time, Value: row.At.In(l.zone), Why: "it is in the future",
			Next: "check that the logger's clock is this machine's, and that --layout does not change day and month"})
		return
	}
	if _, err := air.New(row.Temp, row.Humidity); err != nil {
		l.sum.Bad.add(BadRow{Line: row.Line, Column: l.mapping.Value, Value: row.Temp.String(), Why: err.Error()})
		return
	}
	if len(l.rows) == 0 {
		l.sum.First, l.sum.Last = row.At, row.At
	}
	l.sum.First, l.sum.Last = min(l.sum.First, row.At), max(l.sum.Last, row.At)
	l.rows = append(l.rows, row)
}

// compare leaves the rows that are not recorded yet.
func (l *climateLoading) compare(ctx context.Context) error {
	known := map[measure.Instant]air.Air{}
	err := l.app.DB.Read(ctx, func(tx *sqlx.Tx) error {
		list, err := ovendb.Climates(ctx, tx, l.app.Site, l.sum.Place.Name, l.sum.First, l.sum.Last)
		for _, c := range list {
			known[c.At] = c.Air()
		}
		return err
	})
	if err != nil {
		return err
	}
	fresh := l.rows[:0]
	for _, row := range l.rows {
		read := air.Air{Temp: row.Temp, RH: row.Humidity}
		have, ok := known[row.At]
		switch {
		case !ok:
			known[row.At] = read
			fresh = append(fresh, row)
		case have == read:
			l.sum.Known++
		default:
			l.sum.Differing++
		}
	}
	l.rows = fresh
	return nil
}

// store records the rows, some hundred in a transaction.
func (l *climateLoading) store(ctx context.Context) error {
	const many = 200
	for len(l.rows) > 0 {
		some := l.rows[:min(many, len(l.rows))]
		err := l.app.write(ctx, func(tx *sqlx.Tx) error {
			for _, row := range some {
				if _, err := l.app.attempt(ctx, tx, l.request(row), 0); err != nil {
					return err
				}
			}
			return nil
		})
		if err != nil {
			return fmt.Errorf("%s: %d of %d readings are recorded; load it again to go on: %w", l.options.Name,
				l.sum.Added+l.sum.Known+l.sum.Differing, l.sum.Good, err)
		}
		l.sum.Added += int64(len(some))
		l.rows = l.rows[len(some):]
	}
	return nil
}

// request is the fact of a row. Its id follows from what it says, so that a row is
// recorded once however often a lost answer makes it be asked for.
func (l *climateLoading) request(row feed.Row) Request {
	e := &inventory.ClimateRead{Place: l.sum.Place.Name, Temperature: exact(row.Temp), Humidity: row.Humidity.String(), Weather: row.Weather}
	name := fmt.Sprintf("ovenward climate %s %s %d %d %d", l.app.Site, e.Place, row.At, row.Temp, row.Humidity)
	return Request{ID: uuid.NewSHA1(uuid.NameSpaceOID, []byte(name)).String(), At: row.At, By: l.by, Entry: e}
}

// exact writes a temperature so that it is read back as it is: in Celsius where
// two decimals hold it, else in Fahrenheit.
func exact(t measure.Temperature) string {
	if t%(measure.Degree/100) == 0 {
		return strings.ReplaceAll(t.String(), "°", "")
	}
	return strings.ReplaceAll(t.In(measure.US), "°", "")
}
