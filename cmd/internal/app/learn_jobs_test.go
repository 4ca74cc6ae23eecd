package app_test

import (
	"fmt"
	"math"
	"testing"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// TestJobsFarFromTheNormStandOut welds six equal joints of six jobs: five take 10
// to 11 rods and the last takes 20, which is 1.9 times the median. A slip of two
// jobs is shared between them.
func TestJobsFarFromTheNormStandOut(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		s := newShop(t, open(), "yard")
		file := "job,joint,week,prep,leg,length,quantity,item1,size1\n"
		for n := range 6 {
			file += fmt.Sprintf("Job %d,A%d,2025-W24,fillet,6 mm,1 m,1,E7018,1/8 in\n", n, n)
		}
		if _, err := s.LoadPlan(t.Context(), app.PlanLoad{By: "R. Oakes", Name: "plan.csv", File: []byte(file)}); err != nil {
			t.Fatal(err)
		}
		monday := measure.Instant(s.clock.Load()).Add(4 * measure.Day)
		s.clock.Store(int64(monday))
		s.hot(monday, monday.Add(measure.Hour))
		s.can("K", 100)
		take := func(slip string, used inventory.Count, joints ...string) {
			s.do(&inventory.Issued{Slip: slip, Bundle: "K", Pieces: used + 2, Welder: "W3", Joints: joints})
			s.do(&inventory.Returned{Slip: slip, Unused: 2, Stubs: used, Into: "H1", As: slip + "R"})
		}
		take("S0", 21, "A0", "A1") // 10.5 each
		take("S2", 10, "A2")
		take("S3", 11, "A3")
		take("S4", 10, "A4")
		take("S5", 20, "A5")
		l, err := s.Learn(t.Context(), app.ForecastQuery{At: s.now().Add(8 * measure.Day)})
		if err != nil {
			t.Fatal(err)
		}
		if len(l.Jobs) != 6 || l.Norm.Count != 6 || math.Abs(l.Norm.Median*l.Jobs[0].Expected-10.5) > 1e-9 {
			t.Fatalf("jobs %+v with the norm %+v, want six about 10.5 rods", l.Jobs, l.Norm)
		}
		for n, want := range []float64{10.5, 10.5, 10, 11, 10, 20} {
			u := l.Jobs[n]
			if u.Job != fmt.Sprintf("Job %d", n) || u.Used != want || u.Joints != 1 || u.Far != (n == 5) {
				t.Errorf("%+v, want Job %d with %v rods for one joint, far: %v", u, n, want, n == 5)
			}
		}
	})
}
