package demand_test

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"ovenward/forecast/demand"
)

// TestFarFromTheNorm: by hand, 0.9 1.0 1.0 1.1 1.2 and 3.0 have a median of 1.05
// and distances from it of 0.05 0.05 0.05 0.15 0.15 1.95, whose median is 0.1; far
// is what is more than 0.1 * 3.5 / 0.6745 = 0.519 off. Their mean of 1.37 and
// deviation of 0.80 would let 3.0 pass at three deviations.
func TestFarFromTheNorm(t *testing.T) {
	t.Parallel()
	n := demand.NormOf([]float64{3.0, 1.0, 0.9, 1.2, 1.1, 1.0})
	if d := n.MAD - 0.1; n.Count != 6 || n.Median != 1.05 || d > 1e-12 || d < -1e-12 {
		t.Fatalf("norm = %+v, want a median of 1.05 and a MAD of 0.1", n)
	}
	for x, want := range map[float64]bool{3: true, 1.57: true, 1.56: false, 0.54: false, 0.53: true, 1.05: false} {
		if got := n.Far(x); got != want {
			t.Errorf("Far(%v) = %v, want %v", x, got, want)
		}
	}
	if few := demand.NormOf([]float64{1, 1, 1, 9}); few.Known() || few.Far(9) {
		t.Errorf("of four figures %+v tells one apart", few)
	}
	if same := demand.NormOf([]float64{1, 1, 1, 1, 1.1}); same.Far(1.1) || !same.Far(1.3) {
		t.Errorf("of equal figures: 1.1 far %v, want false, 1.3 far %v, want true", same.Far(1.1), same.Far(1.3))
	}
}

// TestFewFarFiguresDoNotMoveTheNorm: what fewer than half of the figures are
// leaves the median between the smallest and the largest of the others.
func TestFewFarFiguresDoNotMoveTheNorm(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		usual := rapid.SliceOfN(rapid.Float64Range(0.5, 2), 3, 20).Draw(t, "usual")
		far := rapid.SliceOfN(rapid.Float64Range(100, 1e6), 0, len(usual)-1).Draw(t, "far")
		n := demand.NormOf(slices.Concat(far, usual))
		if n.Median < slices.Min(usual) || n.Median > slices.Max(usual) {
			t.Fatalf("median %v, want within %v", n.Median, usual)
		}
	})
}
