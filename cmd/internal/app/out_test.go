package app_test

import (
	"strings"
	"testing"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// What is out now is the same asked for by its time, and what was out before
// some of it came back is still to be asked for.
func TestOutAtAnInstantIsWhatWasOutThen(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		s := newShop(t, open(), "yard")
		s.can("K1", 100)
		s.pass(measure.Hour)
		s.do(issue("S1", "K1", 10))
		s.pass(measure.Minute)
		s.do(issue("S2", "K1", 10))
		both := s.now()
		s.pass(measure.Hour)
		s.do(&inventory.Returned{Slip: "S1", Unused: 10, Into: "H1", As: "R1"})
		for _, c := range []struct {
			name string
			at   measure.Instant
			want string
		}{
			{"now", 0, "S2"}, {"now, by its time", s.now(), "S2"}, {"later", s.now().Add(measure.Hour), "S2"},
			{"while both were out", both, "S1 S2"}, {"between the issues", both.Add(-1), "S1"}, {"before them", both.Add(-measure.Hour), ""},
		} {
			list, err := s.Out(t.Context(), c.at)
			if err != nil {
				t.Fatal(err)
			}
			var codes []string
			for _, l := range list {
				codes = append(codes, l.Slip.Code)
			}
			if got := strings.Join(codes, " "); got != c.want {
				t.Errorf("%s: out is %q, want %q", c.name, got, c.want)
			}
		}
	})
}
