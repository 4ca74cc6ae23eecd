package supply_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/forecast/supply"
	"ovenward/inventory/measure"
)

// line is the plain item from week 1 of 2026 on, with a stock that no date ends.
// Week 1 begins on 2025-12-29.
func line(p supply.Policy, stock int64, needs ...int64) supply.Line {
	all := make([]supply.Need, len(needs))
	for i, n := range needs {
		all[i] = need(i+1, plain, n)
	}
	l := supply.Lines(supply.RunDown(all, []supply.Part{part(stock, "", plain)}))[0]
	l.Policy, l.Today = p, week(1).Monday()
	return l
}

// pieces are what a proposal orders for each week.
func pieces(p supply.Proposal) []int64 {
	out := make([]int64, len(p.Weeks))
	for _, o := range p.Orders {
		for i, w := range p.Weeks {
			if w.Week == o.Week {
				out[i] += o.Pieces
			}
		}
	}
	return out
}

// Worked by hand: needs of 40 a week for six weeks with 100 on hand lack 20 in
// week 3 and 40 in each week after it.
func TestOrdersByEachMethod(t *testing.T) {
	t.Parallel()
	needs := []int64{40, 40, 40, 40, 40, 40}
	price := []supply.Break{{Price: 0.52}}
	for _, c := range []struct {
		name string
		supply.Policy
		want []int64
	}{
		{"nothing set", supply.Policy{}, []int64{0, 0, 20, 40, 40, 40}},
		{"packs of 50", supply.Policy{Pack: 50}, []int64{0, 0, 50, 50, 0, 50}},
		{"at least 70", supply.Policy{Minimum: 70}, []int64{0, 0, 70, 0, 70, 0}},
		{"two weeks at a time", supply.Policy{Method: supply.ByPeriod, Weeks: 2}, []int64{0, 0, 60, 0, 80, 0}},
		{"in date for one week", supply.Policy{Method: supply.ByPeriod, Weeks: 2, ShelfWeeks: 1}, []int64{0, 0, 20, 40, 40, 40}},
		// Keeping a piece for a week costs 0.52 x 100 % / 52 = 0.01. The mean need is
		// 40: the square root of 2 x 0.8 x 40 / 0.01 is 80.
		{"economic quantity", supply.Policy{Method: supply.ByEOQ, OrderCost: 0.8, Hold: 1, Breaks: price}, []int64{0, 0, 80, 0, 80, 0}},
		// Averages 0.8, (0.8+0.4)/2 = 0.6, (1.2+0.8)/3 = 0.67.
		{"silver-meal", supply.Policy{Method: supply.BySilverMeal, OrderCost: 0.8, Hold: 1, Breaks: price}, []int64{0, 0, 60, 0, 80, 0}},
		{"at 10 up to 120", supply.Policy{Method: supply.ByLevels, At: 10, UpTo: 120}, []int64{0, 0, 140, 0, 0, 120}},
		{"at 20 order 60", supply.Policy{Method: supply.ByQuantity, At: 20, Quantity: 60}, []int64{0, 60, 0, 60, 60, 0}},
		{"once", supply.Policy{Method: supply.ByJob, Over: 1, Under: 1}, []int64{0, 0, 140, 0, 0, 0}},
	} {
		if diff := cmp.Diff(c.want, pieces(supply.Propose(line(c.Policy, 100, needs...)))); diff != "" {
			t.Errorf("%s (-want +got):\n%s", c.name, diff)
		}
	}
}

// Week 3 lacks 20 of its 40, of which a pack of 50 leaves 30; week 4 lacks 40,
// beside the 30 that makes 10. To hand is eleven days after the order.
func TestAnOrderSaysWhenAndWhy(t *testing.T) {
	t.Parallel()
	l := line(supply.Policy{LeadDays: 10, ReleaseDays: 1, Pack: 50}, 100, 40, 40, 40, 40)
	got := supply.Propose(l)
	want := []supply.Order{
		{Want: l.Want, Week: week(3), Last: week(3), HereBy: "2026-01-12", OrderBy: "2026-01-01", Ready: "2026-01-12",
			Lack: 20, Pieces: 50, Packs: 1, Why: "2026-W03: need 40, in stock or due 20, short 20; lot for lot; 1 pack of 50"},
		{Want: l.Want, Week: week(4), Last: week(4), HereBy: "2026-01-19", OrderBy: "2026-01-08", Ready: "2026-01-19",
			Lack: 10, Pieces: 50, Packs: 1, Why: "2026-W04: need 40, in stock or due 0, short 40; 30 of them come with earlier orders; lot for lot; 1 pack of 50"},
	}
	if diff := cmp.Diff(want, got.Orders); diff != "" {
		t.Errorf("orders (-want +got):\n%s", diff)
	}
	if diff := cmp.Diff([]int64{60, 20, 30, 40}, got.Projected); diff != "" {
		t.Errorf("projected (-want +got):\n%s", diff)
	}
}

// A lead time of three weeks lets nothing be here before week 4: what weeks 1 to
// 4 lack is one order, 21 days late, and what it cannot prevent is shown.
func TestWhatIsLateIsOneOrderAndShowsTheShortage(t *testing.T) {
	t.Parallel()
	got := supply.Propose(line(supply.Policy{LeadDays: 21}, 0, 10, 10, 10, 10, 10))
	if len(got.Orders) != 2 || got.Orders[0].Pieces != 40 || got.Orders[0].Late != 21 || got.Orders[0].Ready != week(4).Monday() {
		t.Fatalf("orders %+v, want 40 pieces 21 days late, ready on the Monday of week 4, and one more order", got.Orders)
	}
	if diff := cmp.Diff([]int64{-10, -20, -30, 0, 0}, got.Projected); diff != "" {
		t.Errorf("projected (-want +got):\n%s", diff)
	}
}

// 30 a week with a spread of 3, seven weeks of lead time with a spread of four,
// and z = 1.28: the textbook's 153.94. A service of 0.8997 is z = 1.28 in any
// table. The first week an order can reach is the eighth.
func TestSafetyStockIsKeptFromTheFirstWeekAnOrderCanReach(t *testing.T) {
	t.Parallel()
	needs := make([]int64, 12)
	spread := make([]float64, 12)
	for i := range needs {
		needs[i], spread[i] = 30, 3
	}
	l := line(supply.Policy{LeadDays: 49, LeadSpread: 28, Service: 0.8997}, 360, needs...)
	l.Spread = spread
	got := supply.Propose(l)
	if got.Safety != 154 {
		t.Errorf("safety stock %d, want 154", got.Safety)
	}
	if got.Projected[6] != 150 || got.Projected[7] != 154 || got.Projected[11] != 154 {
		t.Errorf("projected %v, want 150 after week 7 and 154 from week 8 on", got.Projected)
	}
}

// Ten a week for ten weeks at 1.00, or 0.90 from 50 on, at 52 % a year. Fifty at
// 0.90 save 5.00; the 40 beyond the first week are kept for 40+30+20+10 weeks at
// 0.009, which is 0.90.
func TestALowerPriceIsTakenWhereItSaves(t *testing.T) {
	t.Parallel()
	p := supply.Policy{Breaks: []supply.Break{{Price: 1}, {From: 50, Price: 0.9}}, Hold: 0.52}
	needs := []int64{10, 10, 10, 10, 10, 10, 10, 10, 10, 10}
	got := supply.Propose(line(p, 0, needs...))
	if got.Orders[0].Pieces != 50 || !strings.Contains(got.Orders[0].Why, "from 50 on it is cheaper, which saves 4.10") {
		t.Errorf("first order %+v, want 50 pieces that save 4.10", got.Orders[0])
	}
	p.ShelfWeeks = 4 // what the plan needs in date is less than 50
	if got := supply.Propose(line(p, 0, needs...)); got.Orders[0].Pieces != 10 {
		t.Errorf("first order of what goes out of date %+v, want 10 pieces", got.Orders[0])
	}
	p.Pack = 50
	if got := supply.Propose(line(p, 0, needs...)); got.Orders[0].Outdated != 10 {
		t.Errorf("a pack of 50 that four weeks can use: %d out of date, want 10", got.Orders[0].Outdated)
	}
}

func TestLateOrdersComeFirst(t *testing.T) {
	t.Parallel()
	late, later := supply.Order{Late: 9, OrderBy: "2026-01-01"}, supply.Order{Late: 2, OrderBy: "2026-01-08"}
	soon, unknown := supply.Order{OrderBy: "2026-02-01", HereBy: "2026-03-01"}, supply.Order{HereBy: "2026-01-02"}
	order := []supply.Order{late, later, soon, unknown}
	for i := range len(order) - 1 {
		if supply.Late(order[i], order[i+1]) >= 0 {
			t.Errorf("%+v does not come before %+v", order[i], order[i+1])
		}
	}
}

func TestEveryWeekOfAWantIsThere(t *testing.T) {
	t.Parallel()
	got := supply.EveryWeek([]supply.Need{need(2, thick, 5), need(3, plain, 7), need(2, thick, 1)}, week(2), week(3))
	want := []supply.Need{need(2, plain, 0), need(2, thick, 6), need(3, plain, 7), need(3, thick, 0)}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("EveryWeek (-want +got):\n%s", diff)
	}
	if measure.Date("2026-02-27").DaysUntil("2026-03-02") != 3 {
		t.Error("from 27 February to 2 March 2026 are not 3 days")
	}
}

// Runs of weeks that move together, from 20 to 120 pieces in each where 50 are
// planned: nine of ten are at 110 or below, 220 in two weeks of lead time, which
// is 120 above the 100 planned. Were they independent it would be less.
func TestSafetyStockOfDrawsThatMoveTogether(t *testing.T) {
	t.Parallel()
	draws := make([]float64, 101)
	for i := range draws {
		draws[i] = float64(20 + i)
	}
	l := line(supply.Policy{LeadDays: 14, Service: 0.9}, 1000, 50, 50, 50, 50)
	l.Draws = [][]float64{draws, draws, draws, draws}
	if got := supply.Propose(l).Safety; got != 120 {
		t.Errorf("safety stock %d, want 120", got)
	}
	l.Policy.LeadSpread = 7 // z = 1.2816 weeks of 50: the root of 120 and 64.08 squared
	if got := supply.Propose(l).Safety; got != 137 {
		t.Errorf("safety stock with a lead time that varies %d, want 137", got)
	}
	short := line(supply.Policy{}, 0, 50, 50)
	short.Draws = l.Draws[:2]
	if o := supply.Propose(short).Orders[0]; o.P50 != 70 || o.P90 != 110 {
		t.Errorf("P50 and P90 of one week %d and %d, want 70 and 110", o.P50, o.P90)
	}
}
