package app_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
	"ovenward/storage/rules"
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
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
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
	s.loadBoth(t, plan, buyingTerms)
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

// TestPapersAreJudgedByTheJobsOwnRules: rods without papers count for a job that is
// judged by the site's rules, which ask for none, and not for one whose own rule set
// asks for a 3.1 with the results of the lot. What is ordered for that one asks for
// it, and a delivery whose papers are not stated does not count for it.
func TestPapersAreJudgedByTheJobsOwnRules(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		s := newShop(t, open(), "yard")
		shipped, err := rules.Shipped("reference-running")
		if err != nil {
			t.Fatal(err)
		}
		text := strings.Replace(string(shipped.Text), "reference-running", "class-rules", 1) + strictPapers
		strict, err := rules.Parse("class-rules", []byte(text))
		if err != nil {
			t.Fatal(err)
		}
		s.do(&inventory.RulesApproved{ID: strict.ID, Edition: strict.Edition, Digest: strict.Digest, Text: strict.Text})
		s.do(&inventory.RulesUsed{Rules: strict.ID, Job: "Hull 7"})
		s.sealed("K1", 100)
		s.loadBoth(t, "job,joint,week,prep,leg,length,quantity,item1,size1\n"+
			"Barge 12,B1,2025-W27,fillet,6 mm,2 m,1,E7018,1/8 in\nHull 7,H1,2025-W27,fillet,6 mm,2 m,1,E7018,1/8 in\n",
			buyingTerms+"[[expected]]\norder = \"PO-1\"\nclass = \"E7018\"\nsize = \"1/8 in\"\nquantity = \"50 rods\"\ndue = \"2025-06-16\"\n")
		p, err := s.Buy(t.Context(), app.ForecastQuery{At: s.now()})
		if err != nil {
			t.Fatal(err)
		}
		for _, b := range p.Bought {
			hull := b.Jobs[0] == "Hull 7"
			last := b.Weeks[len(b.Weeks)-1]
			if hull && (last.Usable != 0 || b.Ask.Certificate != "3.1" || !b.Ask.Actual || pieces(b) == 0) {
				t.Errorf("job %v: usable %d, order asks %+v; want nothing usable and a 3.1 asked for", b.Jobs, last.Usable, b.Ask)
			}
			if !hull && (last.Usable != 150 || b.Ask.Certificate != "" || last.Short != 0) {
				t.Errorf("job %v: usable %d, order asks %+v; want the 100 here and the 50 due", b.Jobs, last.Usable, b.Ask)
			}
		}
		if len(p.Bought) != 2 {
			t.Errorf("bought %d wants, want that of each job", len(p.Bought))
		}
	})
}

const strictPapers = `
[[certificate]]
row = "class-papers"
source = "the shop's own"
status = "shop"
kind = "3.1"
actual = true
`

// loadBoth loads a plan and what the buyer sets.
func (s *shop) loadBoth(t *testing.T, plan, terms string) {
	t.Helper()
	if _, err := s.LoadPlan(t.Context(), app.PlanLoad{By: "R. Oakes", Name: "plan.csv", File: []byte(plan)}); err != nil {
		t.Fatal(err)
	}
	if _, err := s.LoadBuying(t.Context(), app.PlanLoad{By: "R. Oakes", Name: "buying.toml", File: []byte(terms)}); err != nil {
		t.Fatal(err)
	}
}

// pieces adds up what is proposed.
func pieces(b app.Bought) (total int64) {
	for _, o := range b.Orders {
		total += o.Pieces
	}
	return total
}
