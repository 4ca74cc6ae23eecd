// Package apptest gives what reads ovens by itself a site to read them for in tests.
package apptest

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
)

// Noon is what the clock of a site shows.
var Noon = time.Date(2025, 6, 5, 12, 0, 0, 0, time.UTC)

// Site returns a site on UTC that has had holding ovens for nine days.
func Site(t testing.TB, d *db.DB, name string, ovens ...string) *app.App {
	t.Helper()
	a := &app.App{DB: d, Site: name, Via: "daemon", Now: func() time.Time { return Noon }}
	entries := []inventory.Entry{&inventory.SiteSet{Zone: "UTC"}}
	for _, o := range ovens {
		entries = append(entries, &inventory.PlaceSet{Place: o, SortKind: "holding oven"})
	}
	at := measure.At(Noon.AddDate(0, 0, -9))
	for _, e := range entries {
		if _, err := a.Record(t.Context(), app.Request{At: at, Noted: at, By: "Oakes", Entry: e}); err != nil {
			t.Fatal(err)
		}
	}
	return a
}

// Stored returns what is stored of places, one reading a line, in a system of units.
func Stored(t testing.TB, a *app.App, in measure.UnitSystem, places ...string) string {
	t.Helper()
	var b strings.Builder
	for _, p := range places {
		list, err := a.Readings(t.Context(), p, 0, measure.At(Noon.Add(time.Hour)))
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range list {
			for _, r := range s.List {
				fmt.Fprintf(&b, "%s %s %s\n", s.Sensor, r.At, r.Temp.In(in))
			}
		}
	}
	return b.String()
}
