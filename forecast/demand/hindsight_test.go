package demand_test

import (
	"math"
	"testing"

	"ovenward/forecast/demand"
)

// TestHindsightKnowsNoLaterWeek: the first week is forecast as planned, and each
// one from those before it alone. By hand: 100 for 150 is 50 too low.
func TestHindsightKnowsNoLaterWeek(t *testing.T) {
	t.Parallel()
	weeks := []demand.Week{{Expected: 100, Used: 150}, {Used: 7}, {Expected: 100, Used: 150}, {Expected: 100, Used: 150}}
	list := demand.Hindsight(weeks)
	if len(list) != 3 || list[0].Forecast != 100 {
		t.Fatalf("Hindsight = %+v, want three weeks, the first with 100", list)
	}
	if want := 100 * demand.LearnRatio(weeks[:2]).Mean; list[1].Forecast != want || !(list[2].Forecast > want) {
		t.Errorf("forecasts %v and %v, want %v and more", list[1].Forecast, list[2].Forecast, want)
	}
	bias, failure := demand.Accuracy(list[:1])
	if math.Abs(bias+1.0/3) > 1e-9 || math.Abs(failure-1.0/3) > 1e-9 {
		t.Errorf("bias %v and error %v, want -1/3 and 1/3", bias, failure)
	}
	if bias, _ := demand.Accuracy(nil); !math.IsNaN(bias) {
		t.Errorf("bias of nothing %v, want not a number", bias)
	}
}
