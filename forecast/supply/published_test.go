package supply_test

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/forecast/supply"
)

// near holds a figure against a published one.
func near(t *testing.T, name string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s = %v, want %v within %v", name, got, want, tolerance)
	}
}

// Snyder and Shen, Fundamentals of Supply Chain Theory, 2nd ed. 2019, examples
// as printed with the package stockpyl; Hillier and Lieberman 2001 as quoted in
// the help pages of the R package SCperf.
func TestEconomicQuantitiesOfTextbooks(t *testing.T) {
	t.Parallel()
	e := supply.Economic(8, 0.225, 1300) // Snyder and Shen, example 3.1
	near(t, "quantity", e.Quantity, 304.0468, 1e-4)
	near(t, "cost", e.Cost, 68.41053, 1e-4)
	e = supply.Economic(12000, 0.3, 8000) // Hillier and Lieberman
	near(t, "quantity", e.Quantity, 25298, 1)
	near(t, "cost", e.Cost, 7589.5, 0.1)
	e = supply.EconomicOwing(12000, 0.3, 1.1, 8000) // the same, pieces may be owed
	near(t, "quantity", e.Quantity, 28540, 1)
	near(t, "cost", e.Cost, 6727.3, 0.1)
	near(t, "most owed", e.Short, 6116, 1)
	e = supply.EconomicDiscount(200, 0.20, 1000, []supply.Break{{From: 0, Price: 500}, {From: 200, Price: 475}, {From: 500, Price: 450}})
	near(t, "quantity", e.Quantity, 500, 0.01) // stockpyl's documentation
	near(t, "cost", e.Cost, 472900, 0.01)
}

// Wagner-Whitin's plan and cost to go of Snyder and Shen, example 3.9.
func TestWagnerWhitinOfATextbook(t *testing.T) {
	t.Parallel()
	needs, costs := []int64{90, 120, 80, 70}, supply.Costs{Order: 500, Hold: 2}
	lots, rest := supply.WagnerWhitin(needs, costs)
	if diff := cmp.Diff([]int64{210, 0, 150, 0}, lots); diff != "" {
		t.Errorf("lots (-want +got):\n%s", diff)
	}
	if diff := cmp.Diff([]float64{1380, 940, 640, 500}, rest); diff != "" {
		t.Errorf("cost to go (-want +got):\n%s", diff)
	}
	near(t, "cost", costs.Of(needs, lots), 1380, 0)
}

// What lots cost, by published examples. Of those with several best plans only
// the cost is held.
func TestCostsOfLotsInPrint(t *testing.T) {
	t.Parallel()
	// Silver, Pyke and Peterson.
	year := []int64{10, 62, 12, 130, 154, 129, 88, 52, 124, 160, 238, 41}
	// Wagner and Whitin 1958: the cost of an order differs from month to month.
	paper := []int64{69, 29, 36, 61, 61, 26, 34, 67, 45, 67, 79, 56}
	months := []float64{85, 102, 102, 101, 98, 114, 105, 86, 119, 110, 98, 114}
	// Heizer and Render: gross needs with 35 on hand.
	net := supply.NetNeeds([]int64{35, 30, 40, 0, 10, 40, 30, 0, 30, 55}, 35, nil, 0)
	best := func(needs []int64, c supply.Costs) []int64 { lots, _ := supply.WagnerWhitin(needs, c); return lots }
	one := func(needs []int64, _ supply.Costs) []int64 { return supply.LotForLot(needs) }
	for _, c := range []struct {
		name   string
		needs  []int64
		costs  supply.Costs
		method func([]int64, supply.Costs) []int64
		want   float64
		within float64
	}{
		{"SCperf (Hillier), two best plans", []int64{3, 2, 3, 2}, supply.Costs{Order: 2, Hold: 0.2}, best, 4.8, 1e-9},
		{"Silver-Meal, Silver Pyke Peterson", year, supply.Costs{Order: 54, Hold: 0.4}, supply.SilverMeal, 501.20, 0.01},
		{"Wagner-Whitin, Silver Pyke Peterson", year, supply.Costs{Order: 54, Hold: 0.4}, best, 501.20, 0.01},
		{"Wagner and Whitin 1958", paper, supply.Costs{In: months, Hold: 1}, best, 864, 0},
		{"lot for lot, Heizer and Render", net, supply.Costs{Order: 100, Hold: 1}, one, 700, 0},
		{"Wagner-Whitin, Heizer and Render", net, supply.Costs{Order: 100, Hold: 1}, best, 455, 0},
		{"Silver-Meal, Nahmias", []int64{18, 30, 42, 5, 20}, supply.Costs{Order: 80, Hold: 2}, supply.SilverMeal, 310, 0},
		{"Wagner-Whitin, Nahmias", []int64{18, 30, 42, 5, 20}, supply.Costs{Order: 80, Hold: 2}, best, 310, 0},
	} {
		near(t, c.name, c.costs.Of(c.needs, c.method(c.needs, c.costs)), c.want, c.within)
	}
}

// A Silver-Meal example of Nahmias, with the averages it looks at.
func TestSilverMealOfATextbook(t *testing.T) {
	t.Parallel()
	needs, costs := []int64{18, 30, 42, 5, 20}, supply.Costs{Order: 80, Hold: 2}
	if diff := cmp.Diff([]int64{48, 0, 47, 0, 20}, supply.SilverMeal(needs, costs)); diff != "" {
		t.Errorf("lots (-want +got):\n%s", diff)
	}
	for i, want := range []float64{80, 70, 102.67} {
		near(t, "average of the first lot", supply.AverageCosts(needs, costs)[i], want, 0.01)
	}
	for i, want := range []float64{80, 45, 56.67} {
		near(t, "average of the second lot", supply.AverageCosts(needs[2:], costs)[i], want, 0.01)
	}
}

// A materials-planning exercise in multiples of an economic quantity of 32
// (homeworklib.com, question 813594).
func TestMultiplesOfAnEconomicQuantity(t *testing.T) {
	t.Parallel()
	needs, costs := []int64{0, 0, 50, 0, 0, 35, 15, 0, 100, 0}, supply.Costs{Order: 50, Hold: 2}
	lots := supply.Multiples(needs, 32)
	if diff := cmp.Diff([]int64{0, 0, 64, 0, 0, 32, 32, 0, 96, 0}, lots); diff != "" {
		t.Errorf("lots (-want +got):\n%s", diff)
	}
	near(t, "cost", costs.Of(needs, lots), 514, 0)
	onHand := supply.Costs{Hold: 1}
	near(t, "sum on hand", onHand.Of(needs, lots), 157, 0)
}

func TestNewsvendorsOfTextbooks(t *testing.T) {
	t.Parallel()
	n := supply.Newsvendor{Over: 0.18, Under: 0.70} // Snyder and Shen, example 4.3
	stock, cost := n.Normal(50, 8)
	near(t, "stock", stock, 56.60396, 1e-5)
	near(t, "cost", cost, 1.997605, 1e-5)
	whole, cost := n.Discrete(supply.Poisson(50)) // and their Poisson variant
	near(t, "stock", float64(whole), 56, 0)
	near(t, "cost", cost, 1.797235, 1e-6)
	// SCperf: sold at 4, bought at 1, worth nothing after; so 3 are lost with a
	// sale and 1 with a piece left over.
	n = supply.Newsvendor{Over: 1, Under: 4 - 1}
	stock, cost = n.Normal(100, 30)
	near(t, "stock", stock, 120.23, 0.005)
	near(t, "cost", cost, 38.13, 0.005)
	stock, _ = n.Normal(100, 20)
	near(t, "stock", stock, 113.49, 0.005)
}

func TestLevelsOfATextbook(t *testing.T) {
	t.Parallel()
	got, err := supply.BestLevels(supply.StockCosts{Order: 5, Hold: 1, Short: 4}, supply.Poisson(6))
	if err != nil || got.At != 4 || got.UpTo != 10 { // Snyder and Shen, example 4.7
		t.Errorf("levels %d and %d, %v, want 4 and 10", got.At, got.UpTo, err)
	}
	near(t, "cost", got.Cost, 8.0341116, 1e-6)
}

// Snyder and Shen, examples 5.2, 5.5 and 5.8.
func TestReorderLevelsOfATextbook(t *testing.T) {
	t.Parallel()
	costs := supply.StockCosts{Order: 8, Hold: 0.225, Short: 7.5}
	lead := supply.Lead{Use: 1300, UseSpread: 150, Time: 1.0 / 12}
	r := supply.ReorderByService(costs, lead)
	near(t, "level by service", r.At, 190.3370, 1e-3)
	near(t, "quantity by service", r.Quantity, 304.0468, 1e-3)
	r = supply.ReorderByLevel(costs, lead)
	near(t, "level", r.At, 213.9704, 1e-3)
	near(t, "quantity", r.Quantity, 318.5902, 1e-3)
	near(t, "cost", r.Cost, 95.4511, 1e-3)
	r = supply.ReorderExactly(supply.StockCosts{Order: 100, Hold: 20, Short: 150}, 1.5, supply.Poisson(1.5*2))
	if r.At != 3 || r.Quantity != 5 {
		t.Errorf("level %v and quantity %v, want 3 and 5", r.At, r.Quantity)
	}
	near(t, "cost", r.Cost, 107.92358, 1e-4)
}

func TestSafetyStocksOfTextbooks(t *testing.T) {
	t.Parallel()
	carpet := supply.Lead{Use: 30, UseSpread: 5, Time: 10} // Russell and Taylor
	near(t, "safety stock", carpet.SafetyAt(1.65), 26.1, 0.05)
	near(t, "order at", carpet.ReorderAt(1.65), 326.1, 0.05)
	both := supply.Lead{Use: 30, UseSpread: 3, Time: 7, TimeSpread: 4} // a textbook's answer page
	near(t, "safety stock", both.SafetyAt(1.28), 153.94, 0.01)
	// 1.645 is the 95 % point of a normal variable in any table.
	near(t, "of 95 %", carpet.Safety(0.95), 1.645*5*math.Sqrt(10), 0.01)
}

// By the definition of type 7: 0.95 of the way over nine gaps is 0.55 of the
// last one, from 12 to 20.
func TestQuantileOfType7(t *testing.T) {
	t.Parallel()
	near(t, "quantile", supply.Quantile([]float64{20, -3, -1, 0, 2, 4, 5, 7, 9, 12}, 0.95), 16.4, 1e-9)
	near(t, "of one figure", supply.Quantile([]float64{7}, 0.95), 7, 0)
	if got := supply.Quantile(nil, 0.5); !math.IsNaN(got) {
		t.Errorf("quantile of nothing = %v, want NaN", got)
	}
}
