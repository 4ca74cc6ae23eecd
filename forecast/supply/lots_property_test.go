package supply_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"ovenward/forecast/supply"
)

// drawNeeds draws what a few periods need, some of them nothing.
func drawNeeds(t *rapid.T, most int) []int64 {
	return rapid.SliceOfN(rapid.Int64Range(0, 60), 1, most).Draw(t, "needs")
}

func drawCosts(t *rapid.T, periods int) supply.Costs {
	return supply.Costs{
		Order: float64(rapid.Int64Range(0, 200).Draw(t, "order")),
		Hold:  float64(rapid.Int64Range(0, 5).Draw(t, "hold")),
		In:    rapid.SliceOfN(rapid.Float64Range(0, 200), 0, periods).Draw(t, "order costs by period"),
		Reach: rapid.IntRange(0, periods).Draw(t, "reach"),
	}
}

// cheapest tries every way to part the periods into runs that one lot covers or
// that need nothing.
func cheapest(needs []int64, c supply.Costs) float64 {
	best := math.Inf(1)
	for cut := range 1 << (len(needs) - 1) {
		lots := make([]int64, len(needs))
		start, allowed := 0, true
		for t := range needs {
			if t > 0 && cut>>(t-1)&1 == 1 {
				start = t
			}
			if needs[t] > 0 && c.Reach > 0 && t-start >= c.Reach {
				allowed = false
			}
			lots[start] += needs[t]
		}
		if allowed {
			best = min(best, c.Of(needs, lots))
		}
	}
	return best
}

// What Wagner and Whitin's method finds, no other plan betters.
func TestWagnerWhitinIsTheCheapestOfAll(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		needs := drawNeeds(t, 9)
		c := drawCosts(t, len(needs))
		lots, rest := supply.WagnerWhitin(needs, c)
		got, want := c.Of(needs, lots), cheapest(needs, c)
		if math.Abs(got-want) > 1e-6 || math.Abs(rest[0]-want) > 1e-6 {
			t.Fatalf("lots %v cost %v, cost to go %v, want %v", lots, got, rest[0], want)
		}
	})
}

// No method orders less than is needed by any period, and none more than all
// but a fixed quantity.
func TestLotsCoverWhatIsNeeded(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		needs := drawNeeds(t, 20)
		c := drawCosts(t, len(needs))
		best, _ := supply.WagnerWhitin(needs, c)
		for name, lots := range map[string][]int64{
			"lot for lot": supply.LotForLot(needs), "periods": supply.PeriodLots(needs, rapid.IntRange(0, 6).Draw(t, "periods")),
			"multiples":   supply.Multiples(needs, rapid.Int64Range(-1, 50).Draw(t, "quantity")),
			"silver-meal": supply.SilverMeal(needs, c), "wagner-whitin": best,
		} {
			left, all := int64(0), int64(0)
			for i, need := range needs {
				if left += lots[i] - need; left < 0 || lots[i] < 0 {
					t.Fatalf("%s: %v for %v leaves %d in period %d", name, lots, needs, left, i)
				}
				all += need
			}
			if left > 0 && name != "multiples" {
				t.Fatalf("%s: %v for %v orders %d more than the %d needed", name, lots, needs, left, all)
			}
		}
	})
}

// The levels found are no worse than any others near and far.
func TestBestLevelsAreTheCheapestOfMany(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		c := supply.StockCosts{Order: rapid.Float64Range(0.5, 60).Draw(t, "order"), Hold: rapid.Float64Range(0.2, 3).Draw(t, "hold"),
			Short: rapid.Float64Range(1, 30).Draw(t, "short")}
		use := supply.Poisson(rapid.Float64Range(0.3, 6).Draw(t, "mean"))
		got, err := supply.BestLevels(c, use)
		if err != nil {
			t.Fatal(err)
		}
		for at := int64(-12); at < 20; at++ {
			for upTo := at + 1; upTo < at+40; upTo++ {
				cost, err := supply.CostOf(c, use, at, upTo)
				if err != nil || cost < got.Cost-1e-9 {
					t.Fatalf("(%d,%d) costs %v, %v, below %v of (%d,%d)", at, upTo, cost, err, got.Cost, got.At, got.UpTo)
				}
			}
		}
	})
}

func TestLevelsOfWhatIsNeverTaken(t *testing.T) {
	t.Parallel()
	if _, err := supply.BestLevels(supply.StockCosts{Order: 1, Hold: 1, Short: 1}, supply.Chances{1}); err == nil {
		t.Error("levels of what is never taken were found")
	}
}
