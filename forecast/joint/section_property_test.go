package joint_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"ovenward/forecast/joint"
	"ovenward/inventory/measure"
)

// vee draws a single V that can be made.
func vee(t *rapid.T) (thickness, opening, root measure.Length, angle joint.Angle) {
	length := func(from, to float64, name string) measure.Length {
		return measure.Length(rapid.Int64Range(int64(mm(from)), int64(mm(to))).Draw(t, name))
	}
	thickness = length(3, 80, "thickness")
	root = measure.Length(rapid.Int64Range(0, int64(thickness)/2).Draw(t, "root face"))
	return thickness, length(0.5, 15, "opening"), root, joint.Angle(rapid.Float64Range(10, 90).Draw(t, "angle"))
}

func TestGrooveGrowsWithEachSize(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		thickness, opening, root, angle := vee(t)
		more := measure.Length(rapid.Int64Range(int64(mm(0.1)), int64(mm(20))).Draw(t, "more"))
		area := veeSection(thickness, opening, root, angle).Area()
		for name, larger := range map[string]joint.Section{
			"thickness": veeSection(thickness+more, opening, root, angle),
			"opening":   veeSection(thickness, opening+more, root, angle),
			"angle":     veeSection(thickness, opening, root, angle+5),
		} {
			if larger.Area() <= area {
				t.Errorf("larger %s: area = %v, want more than %v", name, larger.Area(), area)
			}
		}
	})
}

// TestAreaScalesWithTheSquare holds that a section twice the size has four times
// the area and, around a pipe twice the size, eight times the volume.
func TestAreaScalesWithTheSquare(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		thickness, opening, root, angle := vee(t)
		one := veeSection(thickness, opening, root, angle)
		two := veeSection(2*thickness, 2*opening, 2*root, angle)
		if !within(float64(two.Area()), 4*float64(one.Area()), 1e-9) {
			t.Errorf("area = %v, want 4 times %v", two.Area(), one.Area())
		}
		outside := 3 * thickness
		v1, v2 := around(one, outside, thickness), around(two, 2*outside, 2*thickness)
		if !within(float64(v2), 8*float64(v1), 1e-9) {
			t.Errorf("volume = %v, want 8 times %v", v2, v1)
		}
	})
}

func TestVolumeIsLinearInLength(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		s := veeSection(vee(t))
		a := measure.Length(rapid.Int64Range(1, int64(100*measure.Metre)).Draw(t, "a"))
		b := measure.Length(rapid.Int64Range(1, int64(100*measure.Metre)).Draw(t, "b"))
		if got, want := s.Along(a+b), s.Along(a)+s.Along(b); !within(float64(got), float64(want), 1e-9) {
			t.Errorf("Along(%v+%v) = %v, want %v", a, b, got, want)
		}
	})
}

// TestMeanDiameterComesShort holds that a V takes more than the mean diameter
// says: the centroid of its walls, 2 t / 3 + f / 3 above the root, always lies
// above the middle. A square butt takes exactly that.
func TestMeanDiameterComesShort(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		thickness, opening, root, angle := vee(t)
		outside := 2*thickness + measure.Length(rapid.Int64Range(int64(mm(5)), int64(mm(1000))).Draw(t, "bore"))
		circle := math.Pi * (outside - thickness).Millimetres()
		v := veeSection(thickness, opening, root, angle)
		if got, mean := float64(around(v, outside, thickness)), circle*float64(v.Area()); got <= mean {
			t.Errorf("V: Around = %v, want more than %v", got, mean)
		}
		s := joint.SquareSection(thickness, opening)
		if got, mean := float64(around(s, outside, thickness)), circle*float64(s.Area()); !within(got, mean, 1e-9) {
			t.Errorf("square butt: Around = %v, want %v", got, mean)
		}
	})
}
