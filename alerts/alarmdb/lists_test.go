package alarmdb_test

import (
	"strings"
	"testing"

	"github.com/jmoiron/sqlx"

	"ovenward/alerts/alarmdb"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// TestAListIsPostedOnceAndOwedUntilItArrived, by each channel for itself, and is
// forgotten when nobody waits for it any more.
func TestAListIsPostedOnceAndOwedUntilItArrived(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		post := func(name string, slot measure.Instant, to ...string) (posted bool) {
			t.Helper()
			write(t, d, func(tx *sqlx.Tx) (err error) {
				posted, err = alarmdb.Post(t.Context(), tx, "yard", alarmdb.List{Name: name, Slot: slot, Made: slot, Head: name, Body: "-"}, to)
				return err
			})
			return posted
		}
		owed := func(channel string) string {
			t.Helper()
			var names []string
			write(t, d, func(tx *sqlx.Tx) error {
				list, err := alarmdb.OwedTo(t.Context(), tx, "yard", channel)
				for _, o := range list {
					names = append(names, o.Name)
				}
				return err
			})
			return strings.Join(names, " ")
		}
		if !post("shift", noon, "crib", "chief", "crib") || !post("digest", noon, "chief") {
			t.Fatal("a new list was not posted")
		}
		if post("shift", noon, "crib", "buyer") {
			t.Error("a list was posted twice")
		}
		write(t, d, func(tx *sqlx.Tx) error {
			o := alarmdb.Owed{List: alarmdb.List{Seq: 1}, Attempts: 1, Next: after(measure.Minute), Problem: "no answer"}
			if err := alarmdb.NotArrived(t.Context(), tx, "yard", "chief", o); err != nil {
				return err
			}
			return alarmdb.Arrived(t.Context(), tx, "yard", 1, "crib", noon)
		})
		for channel, want := range map[string]string{"crib": "", "chief": "shift digest", "buyer": ""} {
			if got := owed(channel); got != want {
				t.Errorf("%s is owed %q, want %q", channel, got, want)
			}
		}
		write(t, d, func(tx *sqlx.Tx) error { return alarmdb.Arrived(t.Context(), tx, "yard", 2, "chief", noon) })
		later := after(200 * measure.Day)
		post("shift", later, "chief")
		var left int
		write(t, d, func(tx *sqlx.Tx) error {
			return tx.GetContext(t.Context(), &left, `SELECT count(*) FROM list WHERE site = $1`, "yard")
		})
		if got := owed("chief"); got != "shift shift" || left != 2 {
			t.Errorf("200 days later chief is owed %q of %d lists, want the one that never arrived and the new one", got, left)
		}
	})
}
