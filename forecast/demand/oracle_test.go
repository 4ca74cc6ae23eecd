package demand_test

import (
	"math"
	"testing"

	"ovenward/forecast/demand"
)

// TestCrostonAndSmoothingAgreeWithR sets croston() and ses(initial = "simple") beside
// ours. The values were computed with R 4.2.2 and its package forecast 8.20 (Debian
// r-cran-forecast), which has no SBA, SBJ or TSB: these are Croston's times a factor,
// or are derived by hand in smooth_test.go.
func TestCrostonAndSmoothingAgreeWithR(t *testing.T) {
	t.Parallel()
	productC := []float64{0, 2, 0, 1, 0, 11, 0, 0, 0, 0, 2, 0, 6, 3, 0, 0, 0, 0, 0, 7, 0, 0, 0, 0, 0, 0, 0, 3, 1, 0, 0, 1, 0, 1, 0, 0}
	rare := []float64{0, 0, 10, 0, 0, 20, 0, 0, 0, 15}
	tacks := []float64{5, 0, 7, 9, 0, 0, 12, 3, 8, 0, 6}
	for _, c := range []struct {
		method demand.Method
		past   []float64
		weight float64
		want   float64
	}{
		{demand.Croston, productC, 0.1, 0.984596521},
		{demand.Croston, productC, 0.2, 0.848411662},
		{demand.Croston, productC, 0.3, 0.715587380},
		{demand.Croston, rare, 0.1, 3.677419355},
		{demand.Croston, rare, 0.2, 3.937500000},
		{demand.Croston, rare, 0.3, 4.121212121},
		{demand.Croston, tacks, 0.1, 4.673979901},
		{demand.Croston, tacks, 0.2, 4.488465222},
		{demand.Croston, tacks, 0.3, 4.334385669},
		{demand.SES, tacks, 0.1, 4.729206458},
		{demand.SES, tacks, 0.3, 4.633715055},
	} {
		if got := c.method.Forecast(c.past, c.weight); math.Abs(got-c.want) > 5e-9 {
			t.Errorf("%s of %v by %v = %.9f, want %.9f", c.method, c.past, c.weight, got, c.want)
		}
	}
}

// TestATrackRecordIsCountedByHand: told 10, 10, 4 and used 8, 14, 4 are off by 2, -4
// and 0: a bias of -2/3, a mean error of 2; use steps by 6 and 10, 8 in the mean.
func TestATrackRecordIsCountedByHand(t *testing.T) {
	t.Parallel()
	var list []demand.Judged
	for _, w := range [][3]float64{{10, 12, 8}, {10, 12, 14}, {4, 6, 4}} {
		list = append(list, demand.Judged{Forecast: w[0], High: w[1], Week: demand.Week{Used: w[2]}})
	}
	got := demand.TrackOf(list)
	if got.Weeks != 3 || got.Within != 2 || math.Abs(got.Bias+2.0/3) > 1e-12 || math.Abs(got.MAE-2) > 1e-12 || math.Abs(got.MASE-0.25) > 1e-12 {
		t.Errorf("track %+v, want bias -2/3, MAE 2, MASE 0.25, 2 of 3 within P90", got)
	}
	if none := demand.TrackOf(nil); none.Weeks != 0 || !math.IsNaN(none.MASE) {
		t.Errorf("of nothing: %+v", none)
	}
}
