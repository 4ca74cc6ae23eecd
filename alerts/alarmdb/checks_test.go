package alarmdb_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/jmoiron/sqlx"

	"ovenward/alerts/alarm"
	"ovenward/alerts/alarmdb"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// TestChecksAreKeptByRuns: what says nothing new moves only when the next is due;
// what a good one came after is forgotten after a month.
func TestChecksAreKeptByRuns(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		one := alarm.Check{Kind: alarm.BackupFailed, Subject: "backup", What: "backed up"}
		note := func(after measure.Duration, bad bool) {
			t.Helper()
			c := one
			c.At, c.Next, c.Bad = noon.Add(after), noon.Add(after+25*measure.Hour), bad
			write(t, d, func(tx *sqlx.Tx) error { return alarmdb.NoteCheck(t.Context(), tx, "yard", c) })
		}
		kept := func() (list []string) {
			t.Helper()
			write(t, d, func(tx *sqlx.Tx) error {
				checks, err := alarmdb.Checks(t.Context(), tx, "yard")
				for _, c := range checks {
					word := "good"
					if c.Bad {
						word = "bad"
					}
					list = append(list, word+" after "+c.At.Sub(noon).Words()+", next after "+c.Next.Sub(noon).Words())
				}
				return err
			})
			return list
		}
		note(0, false)
		note(measure.Day, false)
		note(measure.Hour, true) // older than what is known
		note(2*measure.Day, true)
		note(3*measure.Day, true)
		want := []string{"good after 0 s, next after 49 h", "bad after 48 h, next after 97 h"}
		if diff := cmp.Diff(want, kept()); diff != "" {
			t.Errorf("(-want +got):\n%s", diff)
		}
		note(40*measure.Day, true) // too late: the next row
		want = append(want, "bad after 960 h, next after 985 h")
		if diff := cmp.Diff(want, kept()); diff != "" {
			t.Errorf("a bad run is kept until a good one (-want +got):\n%s", diff)
		}
		note(41*measure.Day, false)
		if diff := cmp.Diff([]string{"bad after 960 h, next after 985 h", "good after 984 h, next after 1009 h"}, kept()); diff != "" {
			t.Errorf("(-want +got):\n%s", diff)
		}
	})
}

func TestTheSettingsOfASiteAreItsOwn(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		set := func(site string, list ...alarm.Setting) {
			write(t, d, func(tx *sqlx.Tx) error { return alarmdb.SetCatalogue(t.Context(), tx, site, list) })
		}
		on := func(site string) (after measure.Duration) {
			write(t, d, func(tx *sqlx.Tx) error {
				c, err := alarmdb.Catalogue(t.Context(), tx, site)
				after = c.Of(alarm.OvenCold).On
				return err
			})
			return after
		}
		set("yard", alarm.Setting{Kind: "oven-cold", On: "3m"}, alarm.Setting{Kind: "oven-hot", On: "4m", Escalate: []string{}})
		set("dock", alarm.Setting{Kind: "oven-cold", On: "7m"})
		set("yard", alarm.Setting{Kind: "oven-cold", On: "2m"})
		if a, b, c := on("yard"), on("dock"), on("pier"); a != 2*measure.Minute || b != 7*measure.Minute || c != 10*measure.Minute {
			t.Errorf("delays %v, %v and %v, want 2 min, 7 min and the shipped 10 min", a, b, c)
		}
	})
}
