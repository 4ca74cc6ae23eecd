package joint_test

import (
	"math"
	"testing"

	"ovenward/forecast/joint"
	"ovenward/inventory/measure"
)

const inch = measure.Length(measure.Inch)

// inches returns a length of n inches; all that tests use are whole nanometres.
func inches(n float64) measure.Length { return measure.Length(n * float64(inch)) }

func mm(n float64) measure.Length { return measure.Length(math.Round(n * float64(measure.Millimetre))) }

// veeSection is a single V by its included angle.
func veeSection(thickness, opening, root measure.Length, included joint.Angle) joint.Section {
	return joint.GrooveSection(thickness, opening,
		joint.Wall{Depth: thickness - root, Angle: included / 2, Two: true}, joint.Wall{})
}

// around carries a section around a pipe with its root at the bore.
func around(s joint.Section, outside, wall measure.Length) joint.Volume {
	return s.Around(outside.Millimetres()/2-wall.Millimetres(), false)
}

// within reports whether got is within a relative tolerance of want.
func within(got, want, tolerance float64) bool { return math.Abs(got-want) <= tolerance*math.Abs(want) }

// TestGrooveAreas holds the areas of prequalified grooves without caps. They
// follow by exact mathematics from root opening and angle (AWS D1.1 Figure 5.1);
// the areas themselves are not published figures.
func TestGrooveAreas(t *testing.T) {
	t.Parallel()
	v := func(thickness, opening float64, angle joint.Angle) joint.Area {
		return veeSection(inches(thickness), inches(opening), 0, angle).Groove()
	}
	// The bevel and the double V have no section here, but are made of the same parts.
	bevel := func(thickness, opening float64, angle joint.Angle) joint.Area {
		return joint.Rectangle(inches(thickness), inches(opening)) + joint.Bevel(inches(thickness), angle)
	}
	tests := []struct {
		name string
		got  joint.Area
		want float64 // square inches
	}{
		{"B-U2a 1 in 45 deg 1/4 in", v(1, 0.25, 45), 0.6642},
		{"B-U2a 1 in 30 deg 3/8 in", v(1, 0.375, 30), 0.6429},
		{"B-U2a 1 in 20 deg 1/2 in", v(1, 0.5, 20), 0.6763},
		{"B-U2a 2 in 45 deg 1/4 in", v(2, 0.25, 45), 7.325 / 0.283 / 12}, // from lb/ft
		{"B-U2a 2 in 30 deg 3/8 in", v(2, 0.375, 30), 6.187 / 0.283 / 12},
		{"B-U2a 2 in 20 deg 1/2 in", v(2, 0.5, 20), 5.791 / 0.283 / 12},
		{"B-U2a 1 in at the wide fit-up limits", v(1, 0.5, 55), 1.0206},
		{"B-U2a 1 in at the narrow fit-up limits", v(1, 0.1875, 40), 0.5515},
		{"TC-U4a 1 in 45 deg 1/4 in", bevel(1, 0.25, 45), 0.7500},
		{"TC-U4a 1 in 30 deg 3/8 in", bevel(1, 0.375, 30), 0.6637},
		{"TC-U4a 1 in at the wide fit-up limits", bevel(1, 0.5, 55), 1.2141},
		{"TC-U4a 1 in at the narrow fit-up limits", bevel(1, 0.1875, 40), 0.6071},
		{"B-U3b 2 in, opening and root face 1/8 in",
			joint.Rectangle(inches(2), inches(0.125)) + 4*joint.Bevel(inches(0.9375), 30), 1.2649},
	}
	for _, tt := range tests {
		if got := tt.got.SquareInches(); !within(got, tt.want, 0.001) {
			t.Errorf("%s: area = %.4f in2, want %.4f within 0.1 %%", tt.name, got, tt.want)
		}
	}
}

// TestPipeButtsByPappus holds the volumes of pipe butts with 2.4 mm opening,
// 1.6 mm root face and 37.5 degrees a side, and by how much pi times the mean
// diameter times the area comes short. Exact mathematics, not published figures.
func TestPipeButtsByPappus(t *testing.T) {
	t.Parallel()
	tests := []struct {
		outside, wall float64 // mm
		exact, mean   float64 // mm3
		short         float64 // %
	}{
		{60.3, 3.91, 2418, 2388, -1.3},
		{60.3, 5.54, 4446, 4337, -2.5},
		{60.3, 11.07, 15780, 14752, -6.5},
		{168.3, 7.11, 20690, 20438, -1.2},
		{323.9, 9.53, 70888, 70245, -0.9},
	}
	for _, tt := range tests {
		s := veeSection(mm(tt.wall), mm(2.4), mm(1.6), 75)
		exact := float64(around(s, mm(tt.outside), mm(tt.wall)))
		mean := math.Pi * (tt.outside - tt.wall) * float64(s.Area())
		if math.Abs(exact-tt.exact) > 0.5 {
			t.Errorf("%v x %v: Around = %.1f mm3, want %.0f", tt.outside, tt.wall, exact, tt.exact)
		}
		if math.Abs(mean-tt.mean) > 0.5 {
			t.Errorf("%v x %v: by mean diameter = %.1f mm3, want %.0f", tt.outside, tt.wall, mean, tt.mean)
		}
		if short := (mean/exact - 1) * 100; math.Abs(short-tt.short) > 0.05 {
			t.Errorf("%v x %v: mean diameter is off by %.2f %%, want %.1f", tt.outside, tt.wall, short, tt.short)
		}
	}
}

// TestPappusEqualsSlices sums a capped pipe V up in thin rings, which knows
// nothing of centroids.
func TestPappusEqualsSlices(t *testing.T) {
	t.Parallel()
	const outside, wall, opening, root, angle, width, height = 168.3, 7.11, 2.4, 1.6, 75.0, 14.0, 2.5
	const rings = 200_000
	var want float64
	for i := range rings {
		y := (float64(i) + 0.5) * (wall + height) / rings // above the root
		want += ringWidth(y, wall, opening, root, angle, width, height) * 2 * math.Pi * (outside/2 - wall + y)
	}
	want *= (wall + height) / rings
	s := veeSection(mm(wall), mm(opening), mm(root), angle).WithCap(joint.Parabola, mm(width), mm(height))
	if got := float64(around(s, mm(outside), mm(wall))); !within(got, want, 1e-6) {
		t.Errorf("Around = %.3f mm3, want %.3f by slices", got, want)
	}
}

// ringWidth is the width of weld metal at a height above the root.
func ringWidth(y, wall, opening, root, angle, width, height float64) float64 {
	switch {
	case y < root:
		return opening
	case y < wall:
		return opening + 2*(y-root)*math.Tan(angle/2*math.Pi/180)
	default:
		return width * math.Sqrt(1-(y-wall)/height)
	}
}

// TestFilletCaps holds convex and concave fillets: (2/3) c sqrt(z1^2+z2^2) more
// or less than the triangle.
func TestFilletCaps(t *testing.T) {
	t.Parallel()
	s := joint.FilletSection(mm(6), mm(8), joint.RightAngle)
	tests := []struct {
		name string
		got  joint.Area
		want float64
	}{
		{"flat", s.Area(), 24},
		{"convex by 1 mm", s.WithCap(joint.Parabola, s.Face, mm(1)).Area(), 24 + 20.0/3},
		{"concave by 1 mm", s.WithCap(joint.Parabola, s.Face, mm(-1)).Area(), 24 - 20.0/3},
	}
	for _, tt := range tests {
		if !within(float64(tt.got), tt.want, 1e-9) {
			t.Errorf("%s: area = %v mm2, want %v", tt.name, tt.got, tt.want)
		}
	}
}
