package app_test

import (
	"testing"

	"ovenward/alerts/alarm"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// What stands comes before what is over and only waits to be acknowledged,
// however urgent that was: something can still be done about the first. S1 is
// never came back; S2 was back late.
func TestWhatStandsComesBeforeWhatIsOver(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		c := newCrib(t, open(), "yard")
		c.open("06:40", "23:40")
		c.issue("07:00", "S1", "K1")
		c.issue("07:00", "S2", "K1")
		c.watch("11:01")
		c.back("11:30", "S2", "bench", "R2")
		c.watch("14:45")
		list, _, err := c.app.Board(t.Context(), false)
		if err != nil {
			t.Fatal(err)
		}
		out, past := -1, -1
		for i, p := range list {
			switch p.Tag() {
			case alarm.Tag{Kind: alarm.ExposurePast, Subject: "S1"}:
				out = i
			case alarm.Tag{Kind: alarm.ExposurePast, Subject: "S2"}:
				past = i
			}
		}
		if out < 0 || past < 0 || list[past].Status.State != alarm.Returned || out > past {
			t.Errorf("the list is %v; want the slip that is still out, then the slip that came back late", list)
		}
	})
}
