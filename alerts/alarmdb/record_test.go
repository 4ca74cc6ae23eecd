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

// TestRecordHasThePriorityOfEachAlarm: one slip was overdue twice, of another tag no
// alarm is known, and another site has its own record.
func TestRecordHasThePriorityOfEachAlarm(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		raise(t, d, "yard", noon, overdue("S1", noon))
		raise(t, d, "quay", noon, overdue("S9", noon))
		slip := alarm.Tag{Kind: alarm.ExposurePast, Subject: "S1"}
		for i, s := range []alarmdb.Step{{Tag: slip, Since: noon, Event: alarm.Raise}, {Tag: slip, Since: noon, Event: alarm.Clear},
			{Tag: cold, Event: alarm.Remove}, {Tag: cold, Event: alarm.Restore}} {
			s.At, s.By, s.Why = after(measure.Duration(i)*measure.Minute), "Oakes", "it is so"
			if _, err := advance(t, d, s); err != nil {
				t.Fatal(err)
			}
		}
		write(t, d, func(tx *sqlx.Tx) error {
			got, err := alarmdb.Record(t.Context(), tx, "yard", after(3*measure.Minute))
			want := []alarm.Transition{
				{Kind: alarm.ExposurePast, Subject: "S1", At: noon, Event: alarm.Raise, To: alarm.Unacknowledged, Priority: alarm.High},
				{Kind: alarm.ExposurePast, Subject: "S1", At: after(measure.Minute), Event: alarm.Clear, To: alarm.Returned, Priority: alarm.High},
				{Kind: cold.Kind, Subject: cold.Subject, At: after(2 * measure.Minute), Event: alarm.Remove, To: alarm.OutOfService},
			}
			if diff := cmp.Diff(want, got); diff != "" {
				t.Errorf("record (-want +got):\n%s", diff)
			}
			return err
		})
	})
}
