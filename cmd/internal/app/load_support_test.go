package app_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/storage/evidence"
	"ovenward/storage/feed"
)

// loggers is a site with ovens whose readings come in files.
type loggers struct {
	outer *testing.T
	t     rapid.TB
	app   *app.App
	zone  *time.Location
}

// loadClock is what the clock shows while files are loaded.
const loadClock = "2026-03-02 06:00"

// fileColumns are the columns of most files here.
var fileColumns = feed.Mapping{Time: "time", Value: "temp", Sensor: "oven"}

// newLoggers sets up the holding ovens H1 with the sensor T-1 and H2 without one,
// H3 with two, and the bake oven BK.
func newLoggers(outer *testing.T, t rapid.TB, d *db.DB, site string) *loggers {
	l := &loggers{outer: outer, t: t}
	var err error
	if l.zone, err = time.LoadLocation("America/Halifax"); err != nil {
		t.Fatal(err)
	}
	now := l.at(loadClock).Time()
	l.app = &app.App{DB: d, Site: site, Via: "window-1", Now: func() time.Time { return now }}
	_, err = l.app.RecordAll(outer.Context(), app.Request{By: "Oakes"}, []inventory.Entry{
		&inventory.SiteSet{Zone: "America/Halifax"},
		&inventory.PlaceSet{Place: "H1", SortKind: "holding oven"},
		&inventory.PlaceSet{Place: "H2", SortKind: "holding oven"},
		&inventory.PlaceSet{Place: "H3", SortKind: "holding oven"},
		&inventory.PlaceSet{Place: "BK", SortKind: "bake oven"},
		&inventory.SensorSet{Sensor: "T-1", Place: "H1"},
		&inventory.SensorSet{Sensor: "T-3a", Place: "H3"},
		&inventory.SensorSet{Sensor: "T-3b", Place: "H3"},
	})
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func (l *loggers) at(text string) measure.Instant {
	at, err := measure.ParseInstant(text, l.zone)
	if err != nil {
		l.t.Fatal(err)
	}
	return at
}

func (l *loggers) load(text, place string, m feed.Mapping, o app.LoadOptions) (app.LoadSummary, error) {
	o.Name = "log.csv"
	return l.app.LoadReadings(l.outer.Context(), "Oakes", strings.NewReader(text), m, place, o)
}

// mustLoad loads rows of "time,temp (C),oven".
func (l *loggers) mustLoad(rows ...string) app.LoadSummary {
	l.t.Helper()
	sum, err := l.load(table(rows...), "", fileColumns, app.LoadOptions{})
	if err != nil {
		l.t.Fatal(err)
	}
	return sum
}

// table is a file of rows.
func table(rows ...string) string {
	return "time,temp (C),oven\n" + strings.Join(rows, "\n") + "\n"
}

// stored returns what is stored of every sensor at the places.
func (l *loggers) stored(places ...string) map[string][]evidence.Reading {
	l.t.Helper()
	all := map[string][]evidence.Reading{}
	for _, p := range places {
		list, err := l.app.Readings(l.outer.Context(), p, 0, l.at(loadClock))
		if err != nil {
			l.t.Fatal(err)
		}
		for _, s := range list {
			if len(s.List) > 0 {
				all[s.Sensor] = s.List
			}
		}
	}
	return all
}

// written counts what the site has, so that a test can tell that nothing was
// written: its facts and its readings.
func (l *loggers) written() string {
	l.t.Helper()
	facts, err := l.app.Facts(l.outer.Context(), 1)
	if err != nil {
		l.t.Fatal(err)
	}
	readings := 0
	for _, list := range l.stored("H1", "H2", "H3", "BK") {
		readings += len(list)
	}
	return fmt.Sprintf("%d facts, %d readings", facts[0].Seq, readings)
}

// row is a row of a file on the site's clock.
func (l *loggers) row(r evidence.Reading, sensor string) string {
	tenths := r.Temp / (measure.Degree / 10)
	return fmt.Sprintf("%s,%d.%d,%s", r.At.In(l.zone), tenths/10, tenths%10, sensor)
}
