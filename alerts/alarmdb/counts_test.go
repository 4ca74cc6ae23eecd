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

// TestWhatIsCounted: two slips are overdue, one of them twice in its life, an oven
// is cold and was seen. A channel that joined in between has the rest to be told.
func TestWhatIsCounted(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		up := func(tag alarm.Tag, e alarm.Event, m measure.Duration) {
			t.Helper()
			if _, err := advance(t, d, alarmdb.Step{Tag: tag, Event: e, At: after(m), By: "Oakes", Why: "it is so"}); err != nil {
				t.Fatal(err)
			}
		}
		coldNow := alarm.Condition{Kind: alarm.OvenCold, Subject: "H1", Since: noon, Priority: alarm.Medium, What: "cold",
			Consequence: "wet rods", Action: "look at it"}
		raise(t, d, "yard", after(measure.Hour), overdue("S1", noon), overdue("S1", after(measure.Minute)), overdue("S2", noon), coldNow)
		raise(t, d, "quay", after(measure.Hour), overdue("S9", noon))
		up(alarm.Tag{Kind: alarm.ExposurePast, Subject: "S1"}, alarm.Raise, measure.Minute)
		write(t, d, func(tx *sqlx.Tx) error {
			_, err := alarmdb.ToldBy(t.Context(), tx, "yard", "crib")
			return err
		})
		up(alarm.Tag{Kind: alarm.ExposurePast, Subject: "S2"}, alarm.Raise, 2*measure.Minute)
		up(cold, alarm.Raise, 3*measure.Minute)
		up(cold, alarm.Ack, 4*measure.Minute)
		write(t, d, func(tx *sqlx.Tx) error {
			_, err := alarmdb.ToldBy(t.Context(), tx, "yard", "late")
			return err
		})
		write(t, d, func(tx *sqlx.Tx) error {
			counts, err := alarmdb.Counts(t.Context(), tx, "yard")
			if err != nil {
				return err
			}
			if diff := cmp.Diff([]alarmdb.Count{{State: alarm.Acknowledged, Priority: alarm.Medium, N: 1},
				{State: alarm.Unacknowledged, Priority: alarm.High, N: 2}}, counts); diff != "" {
				t.Errorf("counts (-want +got):\n%s", diff)
			}
			untold, err := alarmdb.AllUntold(t.Context(), tx, "yard")
			if diff := cmp.Diff([]alarmdb.Untold{{Channel: "crib", Events: 3, Oldest: after(2 * measure.Minute)}, {Channel: "late"}}, untold); diff != "" {
				t.Errorf("untold (-want +got):\n%s", diff)
			}
			return err
		})
	})
}
