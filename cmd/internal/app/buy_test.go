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

// buyingTerms ask for a safety stock: a lead time of a week, and enough in 95 %.
const buyingTerms = `service = "95 %"
[[supplier]]
name = "Harbour Weld Supply"
lead = "7 days"
[[item]]
class = "E7018"
size = "1/8 in"
supplier = "Harbour Weld Supply"
`

// TestHeavierUseRaisesTheProposal: two shops plan the same and have the same left
// after three weeks. Where the weeks used more of the same plan, the factor that a
// forecast takes is higher, and more is proposed for the weeks to come; the factor
// is that of the forecast itself.
func TestHeavierUseRaisesTheProposal(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		d := open()
		asPlanned, heavier := bought(t, d, "yard", 46), bought(t, d, "dock", 70)
		if asPlanned.Weeks[0].Usable != heavier.Weeks[0].Usable {
			t.Fatalf("stock %d and %d, want the same", asPlanned.Weeks[0].Usable, heavier.Weeks[0].Usable)
		}
		if !(heavier.Taught.Mean > asPlanned.Taught.Mean) || heavier.Taught.Weeks != 3 {
			t.Errorf("learnt %+v, and %+v of heavier use", asPlanned.Taught, heavier.Taught)
		}
		if !(heavier.Safety > asPlanned.Safety) || !(pieces(heavier) > pieces(asPlanned)) {
			t.Errorf("heavier use: safety stock %d and %d rods proposed, want more than %d and %d",
				heavier.Safety, pieces(heavier), asPlanned.Safety, pieces(asPlanned))
		}
	})
}

// bought is the proposal of a shop after three weeks in which so many rods went
// into the joint of each week.
func bought(t *testing.T, d *db.DB, site string, used int) app.Bought {
	t.Helper()
	s := newShop(t, d, site)
	plan := "job,joint,week,prep,leg,length,quantity,item1,size1\n"
	for n := range 6 { // three weeks that teach and three to buy for
		plan += fmt.Sprintf("Barge 12,B12-0%d,2025-W%d,fillet,6 mm,6 m,1,E7018,1/8 in\n", n, 24+n)
	}
	if _, err := s.LoadPlan(t.Context(), app.PlanLoad{By: "R. Oakes", Name: "plan.csv", File: []byte(plan)}); err != nil {
		t.Fatal(err)
	}
	file := app.PlanLoad{By: "R. Oakes", Name: "buying.toml", File: []byte(buyingTerms)}
	if _, err := s.LoadBuying(t.Context(), file); err != nil {
		t.Fatal(err)
	}
	s.clock.Store(int64(opens.Add(4 * measure.Day))) // the Monday of week 24
	for n := range 3 {
		s.hot(s.now(), s.now().Add(measure.Hour))
		s.weekOfUse(n, used)
		s.pass(7*measure.Day - measure.Hour)
	}
	q := app.ForecastQuery{At: s.now(), Seed: 1, Draws: 100}
	p, err := s.Buy(t.Context(), q)
	if err != nil {
		t.Fatal(err)
	}
	o, err := s.Forecast(t.Context(), q)
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Bought) != 1 || len(p.Bought[0].Orders) == 0 {
		t.Fatalf("proposed %+v, want orders of one item", p.Bought)
	}
	b := p.Bought[0]
	if want := o.Likely.Used[b.Item]; b.Taught != want || math.IsNaN(want.Mean) {
		t.Errorf("drawn with %+v, and the forecast with %+v", b.Taught, want)
	}
	return b
}

// weekOfUse issues a can for the joint of the week and scraps what is left, so
// that no stock remains.
func (s *shop) weekOfUse(n, used int) {
	s.t.Helper()
	can, slip := fmt.Sprintf("K%d", n), fmt.Sprintf("J%d", n)
	s.can(can, 100)
	s.do(&inventory.Issued{Slip: slip, Bundle: can, Pieces: 100, Welder: "W3", Joints: []string{fmt.Sprintf("B12-0%d", n)}})
	s.pass(measure.Hour)
	s.do(&inventory.Returned{Slip: slip, Damaged: inventory.Count(100 - used), Stubs: inventory.Count(used)})
}

// pieces adds up what is proposed.
func pieces(b app.Bought) (total int64) {
	for _, o := range b.Orders {
		total += o.Pieces
	}
	return total
}
