package app_test

import (
	"fmt"
	"math"
	"testing"

	"ovenward/cmd/internal/app"
	"ovenward/forecast/demand"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// TestWeeksTeachTheFactor plans three weeks of one fillet each, uses 60 rods for
// each joint and 10 for tacks, and looks at the factor week after week. A plan
// that is loaded afterwards does not change what the weeks were planned to take.
func TestWeeksTeachTheFactor(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		s := newShop(t, open(), "yard")
		loadPlan(t, s, "B12-0", 6)
		before := demand.UntaughtRatio
		for n := range 3 {
			monday := measure.Instant(s.clock.Load()).Add(4 * measure.Day)
			if n > 0 {
				monday = s.now().Add(6 * measure.Day)
			}
			s.clock.Store(int64(monday))
			s.hot(monday, monday.Add(measure.Hour))
			s.weekOfWork(n)
			s.pass(measure.Day)
			l, err := s.Learn(t.Context(), app.ForecastQuery{At: s.now().Add(6 * measure.Day)})
			if err != nil {
				t.Fatal(err)
			}
			if len(l.Weeks) != n+1 {
				t.Fatalf("after %d weeks: %+v", n+1, l.Weeks)
			}
			u := l.Weeks[n]
			if u.Issued != 100 || u.Returned != 28 || u.Scrapped != 2 || u.Used != 60 || u.Free != 10 {
				t.Errorf("week %s: %+v, want 100 issued, 28 returned, 2 scrapped, 60 used and 10 not planned", u.Week, u)
			}
			after := l.Ratios[u.Item]
			raw := 60 / u.Expected
			if after.Weeks != n+1 || math.Abs(after.Raw-raw) > 1e-9 || !(after.Deviation < before.Deviation) ||
				!(math.Abs(after.Mean-raw) < math.Abs(before.Mean-raw)) {
				t.Errorf("after %d weeks %+v, before %+v, and %v was seen", n+1, after, before, raw)
			}
			before = after
		}
		loadPlan(t, s, "C99-0", 60)
		l, err := s.Learn(t.Context(), app.ForecastQuery{At: s.now().Add(6 * measure.Day)})
		if err != nil {
			t.Fatal(err)
		}
		if got := l.Ratios[l.Weeks[0].Item]; got != before {
			t.Errorf("after another plan was loaded %+v, want %+v", got, before)
		}
	})
}

// loadPlan plans a fillet of so many metres in each of the weeks 24 to 27.
func loadPlan(t *testing.T, s *shop, name string, metres int) {
	t.Helper()
	file := "job,joint,week,prep,leg,length,quantity,item1,size1\n"
	for n := range 4 {
		file += fmt.Sprintf("Barge 12,%s%d,2025-W%d,fillet,6 mm,%d m,1,E7018,1/8 in\n", name, n, 24+n, metres)
	}
	if _, err := s.LoadPlan(t.Context(), app.PlanLoad{By: "R. Oakes", Name: "plan.csv", File: []byte(file)}); err != nil {
		t.Fatal(err)
	}
}

// weekOfWork issues 80 rods for the joint of the week, of which 60 are used, and
// 20 for tacks, of which 10 are.
func (s *shop) weekOfWork(n int) {
	s.t.Helper()
	can, joint, tack := fmt.Sprintf("K%d", n), fmt.Sprintf("J%d", n), fmt.Sprintf("T%d", n)
	s.can(can, 100)
	s.do(&inventory.Issued{Slip: joint, Bundle: can, Pieces: 80, Welder: "W3", Joints: []string{fmt.Sprintf("B12-0%d", n)}})
	s.do(&inventory.Issued{Slip: tack, Bundle: can, Pieces: 20, Welder: "W4"})
	s.pass(measure.Hour)
	s.do(&inventory.Returned{Slip: joint, Unused: 18, Damaged: 2, Stubs: 60, Into: "H1", As: joint + "R"})
	s.do(&inventory.Returned{Slip: tack, Unused: 10, Stubs: 10, Into: "H1", As: tack + "R"})
}
