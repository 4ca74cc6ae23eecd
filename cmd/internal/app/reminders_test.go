package app_test

import (
	"context"
	"strings"
	"testing"

	"ovenward/alerts/channel"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// TestAnOvenCheckIsRemindedOfOnceBeforeItIsDue: the shop's ovens were first read
// when it opened, and are looked at every eight hours by its rule.
func TestAnOvenCheckIsRemindedOfOnceBeforeItIsDue(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		s := newShop(t, open(), "reminded")
		to := &receiver{}
		remind := func(want int) {
			t.Helper()
			n, err := s.Remind(t.Context(), 15*measure.Minute, []string{"crib"})
			if err != nil || n != want {
				t.Errorf("%d reminded, %v, want %d", n, err, want)
			}
		}
		remind(0) // no rule asks for it
		s.Sets = map[string]string{"oven.check_every": "8h"}
		s.pass(7*measure.Hour + 44*measure.Minute)
		remind(0)
		s.pass(measure.Minute)
		remind(2) // H1 and H2
		remind(0)
		s.pass(5 * measure.Minute)
		s.do(&inventory.OvenChecked{Place: "H1"})
		remind(0)
		s.pass(7*measure.Hour + 50*measure.Minute) // H1 again in ten minutes; H2 was passed over and is due in twenty
		remind(1)
		s.pass(10 * measure.Minute)
		remind(1)
		if _, err := s.TellLists(context.Background(), channel.Route{Name: "crib"}, to); err != nil {
			t.Fatal(err)
		}
		var told []string
		for _, m := range to.got {
			head, _, _ := strings.Cut(strings.TrimPrefix(m.Text, "reminded: oven checks due: "), " by ")
			told = append(told, head)
		}
		if got, want := strings.Join(told, ", "), "2; look at H1, look at H1, look at H2"; got != want {
			t.Errorf("told %q, want %q", got, want)
		}
	})
}
