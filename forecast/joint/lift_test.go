package joint_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"ovenward/forecast/joint"
	"ovenward/inventory/measure"
)

// TestSidesEncloseTheGroove holds for grooves of any walls: the widths between the
// sides, added up over the height, are the groove's area by its closed form.
func TestSidesEncloseTheGroove(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		mm := func(name string, from, to float64) measure.Length {
			return measure.Length(rapid.Float64Range(from, to).Draw(t, name) * float64(measure.Millimetre))
		}
		wall := func(name string, deep measure.Length) joint.Wall {
			w := joint.Wall{Depth: deep, Angle: joint.Angle(rapid.Float64Range(5, 40).Draw(t, name+" angle")),
				Two: rapid.Bool().Draw(t, name+" two")}
			if rapid.Bool().Draw(t, name+" round") {
				w.Radius = mm(name+" radius", 1, 8)
			}
			return w
		}
		near, far := wall("near", mm("depth", 9, 30)), joint.Wall{}
		top := near.Depth + mm("root face", 0, 4)
		if rapid.Bool().Draw(t, "double") {
			far = wall("far", mm("depth2", 9, 30))
			top += far.Depth
		}
		s := joint.GrooveSection(top, mm("opening", 0, 8), near, far)
		const slices = 20_000
		sum, step := 0.0, s.Top/slices
		for i := range slices {
			left, right := s.Sides((float64(i) + 0.5) * step)
			sum += (right - left) * step
		}
		if want := float64(s.Groove()); math.Abs(sum-want) > 2e-3*want {
			t.Errorf("%.3f mm2 between the sides, want %.3f", sum, want)
		}
	})
}
