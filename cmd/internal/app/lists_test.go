package app_test

import (
	"strings"
	"testing"
	"time"

	"ovenward/alerts/alarmdb"
	"ovenward/alerts/channel"
	"ovenward/cmd/internal/app"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// TestListsArriveInOrderOnceAndNotInQuietHours: what a channel that is down was
// not told is told when it is up again, and what waits for the morning waits.
func TestListsArriveInOrderOnceAndNotInQuietHours(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		now := time.Date(2025, 6, 5, 21, 0, 0, 0, time.UTC)
		a := &app.App{DB: open(), Site: "yard", Now: func() time.Time { return now }}
		to := &receiver{down: true}
		quiet := channel.Route{Name: "qa", Quiet: channel.Span{From: 22 * 60, To: 6 * 60}}
		post := func(name string) {
			t.Helper()
			if _, err := a.Post(t.Context(), alarmdb.List{Name: name, Slot: measure.At(now), Head: name, Body: "all"}, []string{"qa"}); err != nil {
				t.Fatal(err)
			}
		}
		tell := func(want int, wrong string) {
			t.Helper()
			sent, err := a.TellLists(t.Context(), quiet, to)
			if sent != want || (err == nil) != (wrong == "") || (err != nil && !strings.Contains(err.Error(), wrong)) {
				t.Errorf("at %s: %d sent, %v, want %d and %q", now.Format("15:04"), sent, err, want, wrong)
			}
		}
		post("shift")
		tell(0, "channel qa, list shift: connection refused")
		post("digest")
		to.down = false
		tell(0, "") // not before its time: a minute after the first attempt
		now = now.Add(90 * time.Minute)
		tell(0, "") // half past ten at night
		now = now.Add(8 * time.Hour)
		tell(2, "")
		tell(0, "")
		var told []string
		for _, m := range to.got {
			told = append(told, m.Key+" "+m.Text+" "+m.Body)
		}
		if got, want := strings.Join(told, "; "), "yard-qa-list-1 yard: shift all; yard-qa-list-2 yard: digest all"; got != want {
			t.Errorf("told %q, want %q", got, want)
		}
	})
}
