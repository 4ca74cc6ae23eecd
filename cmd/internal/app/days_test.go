package app_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
	"ovenward/storage/ovendb"
)

func (c *crib) closeDays(when string, want int) {
	c.t.Helper()
	closed, err := c.app.CloseDays(c.t.Context(), c.at(when))
	if err != nil {
		c.t.Fatal(err)
	}
	if closed != want {
		c.t.Errorf("at %s %d days were closed, want %d", when, closed, want)
	}
}

func (c *crib) checkDays() []app.ChangedDay {
	c.t.Helper()
	changed, _, err := c.app.CheckDays(c.t.Context())
	if err != nil {
		c.t.Fatal(err)
	}
	for i := range changed {
		changed[i].Seq, changed[i].Closed = 0, 0
	}
	return changed
}

// TestADayIsClosedOnceAnHourAfterItsEnd also for the days that were missed, and
// only for those with readings.
func TestADayIsClosedOnceAnHourAfterItsEnd(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		c := newCrib(t, open(), "yard")
		c.read("2025-06-05 07:00", "2025-06-05 23:30", "130 C")
		c.closeDays("2025-06-06 00:59:59", 0)
		c.closeDays("2025-06-06 01:00", 1)
		c.closeDays("2025-06-06 01:01", 0)
		c.read("2025-06-07 00:00", "2025-06-08 12:00", "130 C") // nobody read on 6 June
		c.closeDays("2025-06-09 08:00", 2)
		c.closeDays("2025-06-09 08:00", 0)
		facts, err := c.app.Facts(t.Context(), 2)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range facts {
			if f.Kind != "day" || f.By != "watch" {
				t.Errorf("fact %d is %s by %s, want day by watch", f.Seq, f.Kind, f.By)
			}
		}
		if changed := c.checkDays(); len(changed) != 0 {
			t.Errorf("days that changed: %+v, want none", changed)
		}
	})
}

// TestAReadingAfterItsDayWasClosedIsKeptAndSeen: the day of 5 June has 34
// readings, from 07:00 to 23:30; a logger brings one of 07:15 afterwards.
func TestAReadingAfterItsDayWasClosedIsKeptAndSeen(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		c := newCrib(t, open(), "yard")
		c.read("2025-06-05 07:00", "2025-06-05 23:30", "130 C")
		c.closeDays("2025-06-06 08:00", 1)
		late := []ovendb.Reading{{Sensor: "H1", At: c.at("2025-06-05 07:15"), Temp: measure.Celsius(131)}}
		if n, err := c.app.AddReadings(t.Context(), late); n != 1 || err != nil {
			t.Fatalf("a late reading: %d stored, %v", n, err)
		}
		want := []app.ChangedDay{{Sensor: "H1", Day: "2025-06-05", Then: 34, Now: 35}}
		got := c.checkDays()
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("days that changed (-want +got):\n%s", diff)
		}
		if len(got) == 1 && got[0].Late() != 1 {
			t.Errorf("%d readings came late, want 1", got[0].Late())
		}
		c.closeDays("2025-06-07 08:00", 0)
	})
}

// TestDaysAreCutByTheClockOfTheSite: 23:30 in Halifax is 02:30 of the next day in
// UTC. A site that moves its clock later keeps its closed days.
func TestDaysAreCutByTheClockOfTheSite(t *testing.T) {
	t.Parallel()
	c := newCrib(t, dbtest.SQLite(t), "yard")
	c.read("2025-06-05 23:30", "2025-06-06 00:00", "130 C")
	c.closeDays("2025-06-07 02:00", 2)
	c.record("2025-06-07 02:00", &inventory.SiteSet{Zone: "UTC"})
	if changed := c.checkDays(); len(changed) != 0 {
		t.Errorf("days that changed with the zone: %+v, want none", changed)
	}
}
