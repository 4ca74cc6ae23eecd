package app_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"ovenward/alerts/alarmdb"
	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/storage/ovendb"
	"ovenward/storage/rules"
)

// watchedDay is the day of every time that is written without one.
const watchedDay = "2025-06-05"

// crib is a small rod room with a watch: E7018 under the reference rules (4:00,
// warning at 3:12, a hold of 4:00 at 120 °C), one holding oven, one can.
type crib struct {
	t    testing.TB
	app  *app.App
	zone *time.Location
	noon time.Time // what the clock shows
}

func newCrib(t testing.TB, d *db.DB, site string) *crib {
	t.Helper()
	c := &crib{t: t}
	c.app = &app.App{DB: d, Site: site, Via: "window-1", Now: func() time.Time { return c.noon }}
	var err error
	if c.zone, err = time.LoadLocation("America/Halifax"); err != nil {
		t.Fatal(err)
	}
	set, err := rules.Shipped("reference-running")
	if err != nil {
		t.Fatal(err)
	}
	var confirmed []string
	for _, m := range set.Unconfirmed() {
		confirmed = append(confirmed, m.Row)
	}
	for _, e := range []inventory.Entry{
		&inventory.SiteSet{Zone: "America/Halifax"},
		&inventory.RulesApproved{ID: set.ID, Text: set.Text, Confirmed: confirmed},
		&inventory.RulesUsed{Rules: set.ID},
		&inventory.PlaceSet{Place: "H1", SortKind: "holding oven"},
		&inventory.PlaceSet{Place: "bench", SortKind: "shelf"},
		&inventory.Received{Lot: "7B21", Class: "E7018", Diameter: "1/8 in", Length: "14 in", Package: "hermetic can", Bundle: "K1", Pieces: 500},
		&inventory.LotReleased{Lot: "7B21"},
	} {
		c.record("2025-06-04 06:00", e)
	}
	return c
}

// at reads a time on the shop's clock.
func (c *crib) at(s string) measure.Instant {
	c.t.Helper()
	if !strings.Contains(s, " ") {
		s = watchedDay + " " + s
	}
	at, err := measure.ParseInstant(s, c.zone)
	if err != nil {
		c.t.Fatal(err)
	}
	return at
}

// record records a fact as it happens.
func (c *crib) record(when string, e inventory.Entry) app.Done {
	c.t.Helper()
	return c.enter(when, when, e)
}

// enter records a fact that happened at one time at another.
func (c *crib) enter(when, noted string, e inventory.Entry) app.Done {
	c.t.Helper()
	done, err := c.app.Record(c.t.Context(), app.Request{At: c.at(when), Noted: c.at(noted), By: "Oakes", Entry: e})
	if err != nil {
		c.t.Fatalf("%s at %s: %v", e.Kind(), when, err)
	}
	return done
}

// open puts the can's rods into the oven, which is read every half hour from
// then on until a time.
func (c *crib) open(when, until string) {
	c.t.Helper()
	c.record(when, &inventory.Opened{Bundle: "K1", Into: "H1"})
	c.read(when, until, "130 C")
}

// read stores a reading of the oven every half hour, both ends included.
func (c *crib) read(from, to, value string) {
	c.t.Helper()
	temp, err := measure.ParseTemperature(value)
	if err != nil {
		c.t.Fatal(err)
	}
	s, err := c.app.Sensor(c.t.Context(), "Oakes", "H1", c.at(from))
	if err != nil {
		c.t.Fatal(err)
	}
	var list []ovendb.Reading
	for at := c.at(from); at <= c.at(to); at = at.Add(30 * measure.Minute) {
		list = append(list, ovendb.Reading{Sensor: s.Name, At: at, Temp: temp})
	}
	if _, err := c.app.AddReadings(c.t.Context(), list); err != nil {
		c.t.Fatal(err)
	}
}

func (c *crib) issue(when, slip, bundle string) {
	c.t.Helper()
	c.record(when, &inventory.Issued{Slip: slip, Bundle: bundle, Pieces: 40, Welder: "W3", Joints: []string{"J-101"}})
}

func (c *crib) back(when, slip, into, as string) {
	c.t.Helper()
	c.record(when, &inventory.Returned{Slip: slip, Unused: 40, Into: into, As: as})
}

// watch looks at a time and returns what is new and what is over, as "kind
// subject since-until" with "late" where it is.
func (c *crib) watch(when string) (raised, cleared []string) {
	c.t.Helper()
	r, o, err := c.app.Watch(c.t.Context(), c.at(when))
	if err != nil {
		c.t.Fatalf("watch at %s: %v", when, err)
	}
	return c.lines(r), c.lines(o)
}

// all returns every alarm on record.
func (c *crib) all() []string {
	c.t.Helper()
	list, err := c.app.Alarms(c.t.Context(), true)
	if err != nil {
		c.t.Fatal(err)
	}
	return c.lines(list)
}

// stillUp returns the lines of alarms that stand.
func stillUp(list []string) []string {
	return slices.DeleteFunc(list, func(s string) bool { return !strings.HasSuffix(strings.TrimSuffix(s, " late"), "-") })
}

func (c *crib) lines(list []alarmdb.Alarm) []string {
	var out []string
	for _, a := range list {
		line := fmt.Sprintf("%s %s %s-", a.Kind, a.Subject, a.Since.Clock(c.zone, c.at("12:00")))
		if a.Cleared != nil {
			line += a.Cleared.Clock(c.zone, c.at("12:00"))
		}
		if a.Late {
			line += " late"
		}
		if a.Noted != nil {
			line += ", entered late"
		}
		if a.Afterwards {
			line += ", found afterwards"
		}
		out = append(out, line)
	}
	slices.Sort(out)
	return out
}
