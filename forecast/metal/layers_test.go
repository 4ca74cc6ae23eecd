package metal_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"ovenward/forecast/joint"
	"ovenward/forecast/metal"
	"ovenward/inventory/measure"
)

// TestInchVTakesTwentyTwoBeads holds the estimate against common practice,
// without a published source: a 1 in single V on backing, 45 degrees, opening
// 1/4 in, cap 1/8 in, welded flat with stringer beads that overlap by one half
// to two thirds, takes 22 beads in six layers: two layers of two beads with 1/8
// in rods, then one bead more in each layer with 5/32 in. The estimate knows the
// areas of beads only roughly: within three.
func TestInchVTakesTwentyTwoBeads(t *testing.T) {
	t.Parallel()
	j := joint.Joint{Preparation: joint.SingleV, Sizes: joint.Sizes{
		Thickness: joint.Exactly(inch), Opening: joint.Exactly(inch / 4), Angle: 45, Backing: true,
		CapHeight: joint.Exactly(inch / 8), Length: joint.Exactly(10 * inch)}}
	passes := []joint.Pass{{Item: itemA, Layers: 2}, {Item: itemB}}
	w, err := j.Weld()
	if err != nil {
		t.Fatal(err)
	}
	layers, err := metal.Layers(w, passes, rods(t, passes))
	if err != nil {
		t.Fatal(err)
	}
	var beads [2]int64
	for _, l := range layers {
		beads[l.Pass] += l.Beads
	}
	if n := beads[0] + beads[1]; n < 19 || n > 25 {
		t.Errorf("%d beads, want 22 within three", n)
	}
	if len(layers) != 6 {
		t.Errorf("%d layers, want 6", len(layers))
	}
	if beads[0] < 3 || beads[0] > 7 || beads[1] <= beads[0] {
		t.Errorf("%v beads by size, want about 4 of the smaller and 18 of the larger", beads)
	}
	// The pieces follow from the beads: what is filled is their area, to half a bead a layer.
	parts, err := metal.Split(passes, w, rods(t, passes))
	if err != nil {
		t.Fatal(err)
	}
	for i, r := range rods(t, passes) {
		byBeads := float64(beads[i]) * float64(r.Bead())
		if got := parts[i] * float64(w.Section.Area()); math.Abs(got-byBeads) > 0.5*float64(r.Bead())*4 {
			t.Errorf("pass %d fills %.1f mm2, its beads %.1f", i, got, byBeads)
		}
	}
}

// TestLayersFillTheWholeGroove holds for any V, single or double: the layers'
// areas add up to the weld's, none is thicker than the limit, and what passes
// take adds up to a whole.
func TestLayersFillTheWholeGroove(t *testing.T) {
	t.Parallel()
	given := rods(t, []joint.Pass{{Item: itemA}, {Item: itemB}})
	rapid.Check(t, func(t *rapid.T) {
		size := func(from, to float64, name string) joint.Size {
			return joint.Exactly(mm(rapid.Float64Range(from, to).Draw(t, name)))
		}
		j := joint.Joint{Preparation: rapid.SampledFrom([]joint.Preparation{joint.SingleV, joint.DoubleV, joint.SingleBevel, joint.DoubleBevel}).Draw(t, "prep"),
			Sizes: joint.Sizes{Thickness: size(15, 80, "thickness"), Opening: size(1, 8, "opening"), RootFace: size(0, 3, "root face"),
				Angle: joint.Angle(rapid.Float64Range(15, 80).Draw(t, "angle")), CapHeight: size(0, 4, "cap"), RootHeight: size(0, 3, "root"),
				Length: joint.Exactly(measure.Metre)}}
		w, err := j.Weld()
		if err != nil {
			t.Fatal(err)
		}
		passes := []joint.Pass{{Item: itemA, Layers: 2}, {Item: itemB}}
		layers, err := metal.Layers(w, passes, given)
		if err != nil {
			t.Fatal(err)
		}
		var sum joint.Area
		for i, l := range layers {
			if sum += l.Area; l.Area < 0 || l.Beads < 1 {
				t.Errorf("layer %d: %.2f mm2 and %d beads", i, float64(l.Area), l.Beads)
			}
		}
		if !near(float64(sum), float64(w.Section.Area()), 1e-6) {
			t.Errorf("layers fill %.3f mm2, want %.3f", float64(sum), float64(w.Section.Area()))
		}
		parts, err := metal.Split(passes, w, given)
		if err != nil || !near(parts[0]+parts[1], 1, 1e-6) {
			t.Errorf("Split() = %v, %v, want a whole", parts, err)
		}
	})
}

// TestLayersThatCannotBeCounted says why.
func TestLayersThatCannotBeCounted(t *testing.T) {
	t.Parallel()
	v := joint.Joint{Preparation: joint.SingleV, Sizes: joint.Sizes{Thickness: joint.Exactly(mm(12)), Opening: joint.Exactly(mm(3)),
		RootFace: joint.Exactly(mm(2)), Angle: 60, Length: joint.Exactly(measure.Metre)}}
	f := joint.Joint{Preparation: joint.Fillet, Sizes: joint.Sizes{Leg: joint.Exactly(mm(8)), Length: joint.Exactly(measure.Metre)}}
	tests := []struct {
		name   string
		joint  joint.Joint
		passes []joint.Pass
	}{
		{"a fillet has no layers", f, []joint.Pass{{Item: itemA, Layers: 1}, {Item: itemB}}},
		{"more layers than there are", v, []joint.Pass{{Item: itemA, Layers: 3}, {Item: itemB}}},
		{"nothing left for the last", v, []joint.Pass{{Item: itemA, Layers: 2}, {Item: itemB, Layers: 2}}},
		{"layers beside a share", v, []joint.Pass{{Item: itemA, Layers: 1}, {Item: itemB, Share: 0.5}}},
		{"the rest before layers", v, []joint.Pass{{Item: itemA}, {Item: itemB, Layers: 1}}},
	}
	for _, tt := range tests {
		w, err := tt.joint.Weld()
		if err != nil {
			t.Fatal(err)
		}
		if _, err := metal.Split(tt.passes, w, rods(t, tt.passes)); err == nil {
			t.Errorf("%s: Split() has no error", tt.name)
		}
	}
}
