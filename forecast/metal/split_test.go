package metal_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"ovenward/forecast/joint"
	"ovenward/forecast/metal"
	"ovenward/inventory/measure"
)

// TestBackedVTakesTwoSizes computes a joint that is common practice, without a
// published source: a 1 in single V on a 3/8 in backing bar, 45 degrees included,
// 1/4 in opening, the face at most 1/8 in proud, is welded with the first four
// beads in 1/8 in E7018 and the rest in 5/32 in. Its groove is 0.6642 in2 by
// exact geometry.
func TestBackedVTakesTwoSizes(t *testing.T) {
	t.Parallel()
	small := joint.Item{Class: "E7018", Diameter: inch / 8}
	large := joint.Item{Class: "E7018", Diameter: 5 * inch / 32}
	j := joint.Joint{
		Preparation: joint.SingleV, Quantity: 1,
		Sizes: joint.Sizes{
			Thickness: joint.Exactly(inch), Opening: joint.Exactly(inch / 4), Angle: 45, Backing: true,
			CapHeight: joint.Exactly(inch / 8), Length: joint.Exactly(5 * inch),
		},
		Passes: []joint.Pass{{Item: small, Beads: 4}, {Item: large}},
	}
	w, err := j.Weld()
	if err != nil {
		t.Fatal(err)
	}
	if got := w.Section.Groove().SquareInches(); !near(got, 0.6642, 0.001) {
		t.Errorf("groove = %.4f in2, want 0.6642 within 0.1 %%", got)
	}
	proud := float64(w.Section.Cap.Area) * 3 / 2 / w.Section.Face.Millimetres()
	if most := (inch / 8).Millimetres(); proud <= 0 || proud > most*(1+1e-12) {
		t.Errorf("face stands %v mm proud, want above 0 and at most %v", proud, most)
	}
	parts, err := metal.Split(j.Passes, w, rods(t, j.Passes))
	if err != nil {
		t.Fatal(err)
	}
	if len(parts) != 2 || parts[0] <= 0 || parts[1] <= parts[0] {
		t.Errorf("Split() = %v, want both sizes and more of 5/32 in", parts)
	}
	if got := parts[0] + parts[1]; !near(got, 1, 1e-12) {
		t.Errorf("parts add up to %v, want 1", got)
	}
}

func rods(t testing.TB, passes []joint.Pass) []metal.Rod {
	t.Helper()
	c := defaults(t)
	var rods []metal.Rod
	for _, p := range passes {
		r, err := c.Rod(p.Item)
		if err != nil {
			t.Fatal(err)
		}
		rods = append(rods, r)
	}
	return rods
}

// The passes of the tests below: A has a bead area of 16 mm2, B of 24 mm2 and N
// of none, in a weld of 100 mm2.
var (
	itemA = joint.Item{Class: "E7018", Diameter: inch / 8}
	itemB = joint.Item{Class: "E7018", Diameter: 5 * inch / 32}
	itemN = joint.Item{Class: "E7018", Diameter: inch / 4}
)

func hundred() joint.Weld {
	s := joint.SquareSection(mm(10), mm(10))
	return joint.Weld{Section: s, Volume: s.Along(measure.Metre)}
}

func TestSplitParts(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name   string
		passes []joint.Pass
		want   []float64
	}{
		{"one item", []joint.Pass{{Item: itemA}}, []float64{1}},
		{"shares", []joint.Pass{{Item: itemA, Share: 0.2}, {Item: itemB, Share: 0.8}}, []float64{0.2, 0.8}},
		{"share and rest", []joint.Pass{{Item: itemA, Share: 0.2}, {Item: itemB}}, []float64{0.2, 0.8}},
		{"first beads and rest", []joint.Pass{{Item: itemA, Beads: 2}, {Item: itemB}}, []float64{0.32, 0.68}},
		{"root, two beads, rest", []joint.Pass{{Item: itemN, Share: 0.1}, {Item: itemA, Beads: 2}, {Item: itemB}},
			[]float64{0.1, 0.32, 0.58}},
		{"three thirds as people write them",
			[]joint.Pass{{Item: itemA, Share: 0.333}, {Item: itemB, Share: 0.333}, {Item: itemN, Share: 0.333}},
			[]float64{1. / 3, 1. / 3, 1. / 3}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			got, err := metal.Split(tt.passes, hundred(), rods(t, tt.passes))
			if err != nil {
				t.Fatal(err)
			}
			for i := range tt.want {
				if !near(got[i], tt.want[i], 1e-9) {
					t.Errorf("Split() = %v, want %v", got, tt.want)
				}
			}
		})
	}
}

func TestSplitThatDoesNotFillTheWeldIsRefused(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name   string
		passes []joint.Pass
		reason joint.Reason
		says   string
	}{
		{"no item", nil, joint.UnknownItem, "no item is given"},
		{"too little", []joint.Pass{{Item: itemA, Share: 0.2}, {Item: itemB, Share: 0.7}}, joint.BadSplit, "90.0 %"},
		{"too much", []joint.Pass{{Item: itemA, Share: 0.4}, {Item: itemB, Share: 0.7}}, joint.BadSplit, "110.0 %"},
		{"nothing left", []joint.Pass{{Item: itemA, Share: 1}, {Item: itemB}}, joint.BadSplit, "nothing is left"},
		{"two rests", []joint.Pass{{Item: itemA}, {Item: itemB}}, joint.BadSplit, "item1 takes the rest already"},
		{"more beads than the weld holds", []joint.Pass{{Item: itemA, Beads: 7}, {Item: itemB}}, joint.BadSplit,
			"7 beads of 16.0 mm2 are more than the weld's 100.0 mm2"},
		{"beads only", []joint.Pass{{Item: itemA, Beads: 6}}, joint.BadSplit, "fill 96.0 %"},
		{"beads of no known area", []joint.Pass{{Item: itemN, Beads: 1}, {Item: itemB}}, joint.BadSplit, "bead area"},
		{"share below zero", []joint.Pass{{Item: itemA, Share: -0.1}, {Item: itemB}}, joint.BadSplit, "share of -0.1"},
		{"share that is no number", []joint.Pass{{Item: itemA, Share: math.NaN()}, {Item: itemB}}, joint.BadSplit,
			"share of NaN"},
		{"share and beads", []joint.Pass{{Item: itemA, Share: 0.1, Beads: 1}, {Item: itemB}}, joint.BadSplit,
			"1 beads and a share"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			_, err := metal.Split(tt.passes, hundred(), rods(t, tt.passes))
			var bad *joint.UncomputedError
			if !errors.As(err, &bad) || bad.Reason != tt.reason || !strings.Contains(err.Error(), tt.says) {
				t.Errorf("Split() error = %v, want %s that says %q", err, tt.reason, tt.says)
			}
		})
	}
}

// TestSplitLosesNoMetal holds that whatever the split, the parts add up to the
// whole, so deposited masses do too.
func TestSplitLosesNoMetal(t *testing.T) {
	t.Parallel()
	three := []joint.Pass{{Item: itemA}, {Item: itemB}, {Item: itemN}}
	known := rods(t, three)
	rapid.Check(t, func(t *rapid.T) {
		passes := []joint.Pass{
			{Item: itemA, Beads: rapid.Int64Range(0, 4).Draw(t, "beads")},
			{Item: itemB, Share: rapid.Float64Range(0.01, 0.3).Draw(t, "share")},
			{Item: itemN},
		}
		if passes[0].Beads == 0 {
			passes[0].Share = rapid.Float64Range(0.01, 0.6).Draw(t, "first share")
		}
		w := hundred()
		parts, err := metal.Split(passes, w, known)
		if err != nil {
			t.Fatal(err)
		}
		var deposited float64
		for i, p := range parts {
			deposited += known[i].Need(w.Volume * joint.Volume(p)).Deposited
		}
		if want := us.Grams(w.Volume); !near(deposited, want, 1e-12) {
			t.Errorf("parts deposit %v g, want the weld's %v g", deposited, want)
		}
	})
}
