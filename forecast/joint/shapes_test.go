package joint_test

import (
	"math"
	"testing"

	"ovenward/forecast/joint"
	"ovenward/inventory/measure"
)

// sized is a joint of a preparation along a metre.
func sized(p joint.Preparation, change func(*joint.Sizes)) joint.Joint {
	j := joint.Joint{Preparation: p, Sizes: joint.Sizes{Length: joint.Exactly(measure.Metre)}}
	change(&j.Sizes)
	return j
}

func weld(t *testing.T, j joint.Joint) joint.Weld {
	t.Helper()
	w, err := j.Weld()
	if err != nil {
		t.Fatalf("%s: %v", j.Preparation, err)
	}
	return w
}

// TestJWall holds the area of a J wall that was checked by numerical
// integration: depth 32.1, radius 6, 7 degrees. Exact mathematics, not a
// published figure.
func TestJWall(t *testing.T) {
	t.Parallel()
	if got := float64(joint.JWall(mm(32.1), mm(6), 7).Area); math.Abs(got-227.882) > 0.001 {
		t.Errorf("JWall = %.4f mm2, want 227.882", got)
	}
}

// TestPrequalifiedAreas holds joints of AWS D1.1 Figure 5.1 as preparations,
// without caps, in lb/ft at 0.283 lb/in3. Their areas follow by exact mathematics.
func TestPrequalifiedAreas(t *testing.T) {
	t.Parallel()
	groove := func(p joint.Preparation, thickness, opening, root, radius float64, angle joint.Angle) joint.Joint {
		return sized(p, func(s *joint.Sizes) {
			s.Thickness, s.Opening, s.RootFace = joint.Exactly(inches(thickness)), joint.Exactly(inches(opening)), joint.Exactly(inches(root))
			if s.Angle = angle; radius > 0 {
				s.Radius = joint.Exactly(inches(radius))
			}
		})
	}
	tests := []struct {
		name  string
		joint joint.Joint
		want  float64 // lb/ft
	}{
		{"B-U2a 1 in 45 deg", groove(joint.SingleV, 1, 0.25, 0, 0, 45), 2.256},
		{"B-U2a 2 in 20 deg", groove(joint.SingleV, 2, 0.5, 0, 0, 20), 5.791},
		{"TC-U4a 1 in 45 deg", groove(joint.SingleBevel, 1, 0.25, 0, 0, 45), 2.547},
		{"TC-U4a 1 in 30 deg", groove(joint.SingleBevel, 1, 0.375, 0, 0, 30), 2.254},
		{"B-U3b 2 in", groove(joint.DoubleV, 2, 0.125, 0.125, 0, 60), 4.296},
		{"B-U6 2 in 45 deg", groove(joint.SingleU, 2, 0.125, 0.125, 0.25, 45), 7.888},
		{"B-U6 2 in 20 deg", groove(joint.SingleU, 2, 0.125, 0.125, 0.25, 20), 5.566},
		{"B-U8 2 in 45 deg", groove(joint.SingleJ, 2, 0.125, 0.125, 0.375, 45), 7.797},
	}
	for _, tt := range tests {
		w := weld(t, tt.joint)
		if got := w.Section.Groove().SquareInches() * 12 * 0.283; !within(got, tt.want, 0.001) {
			t.Errorf("%s: %.4f lb/ft, want %.3f within 0.1 %%", tt.name, got, tt.want)
		}
	}
}

// halfWidth is half the opening of a symmetric groove, or the width on one side
// of a one-sided one, at a height, by nothing but the circle and the line.
func halfWidth(y, root, radius, tilt float64) float64 {
	up, lean := y-root, math.Tan(tilt*math.Pi/180)
	if up <= 0 {
		return 0
	}
	sin, cos := math.Sincos(tilt * math.Pi / 180)
	if shoulder := radius * (1 - sin); up > shoulder {
		return radius*cos + (up-shoulder)*lean
	}
	return math.Sqrt(radius*radius - (radius-up)*(radius-up))
}

// TestGroovesEqualSlices sums each groove up around a pipe in thin rings, from
// outside and from inside, which knows nothing of centroids.
func TestGroovesEqualSlices(t *testing.T) {
	t.Parallel()
	const outside, wallOf, opening, root, near, far, radius, angle, angle2 = 400.0, 40.0, 3.0, 4.0, 22.0, 14.0, 6.0, 30.0, 20.0
	tests := []struct {
		prep        joint.Preparation
		sides       float64 // how many walls a side has
		radius      float64
		double      bool
		tilt, tilt2 float64 // of one wall
	}{
		{joint.SingleV, 2, 0, false, angle / 2, 0},
		{joint.SingleBevel, 1, 0, false, angle, 0},
		{joint.SingleU, 2, radius, false, angle / 2, 0},
		{joint.SingleJ, 1, radius, false, angle, 0},
		{joint.DoubleV, 2, 0, true, angle / 2, angle2 / 2},
		{joint.DoubleBevel, 1, 0, true, angle, angle2},
		{joint.DoubleU, 2, radius, true, angle / 2, angle2 / 2},
		{joint.DoubleJ, 1, radius, true, angle, angle2},
	}
	for _, tt := range tests {
		for _, inside := range []bool{false, true} {
			foot := root // of the near side, above the far face
			if tt.double {
				foot += far
			}
			const slices = 100_000
			var want float64
			for i := range slices {
				y := (float64(i) + 0.5) * wallOf / slices
				w := opening + tt.sides*halfWidth(y, foot, tt.radius, tt.tilt)
				if tt.double {
					w += tt.sides * halfWidth(far-y, 0, tt.radius, tt.tilt2)
				}
				r := outside/2 - wallOf + y
				if inside {
					r = outside/2 - y
				}
				want += w * 2 * math.Pi * r
			}
			want *= wallOf / slices
			j := joint.Joint{Preparation: tt.prep, Sizes: joint.Sizes{
				Outside: joint.Exactly(mm(outside)), Wall: joint.Exactly(mm(wallOf)), Opening: joint.Exactly(mm(opening)),
				RootFace: joint.Exactly(mm(root)), Angle: angle, Inside: inside}}
			if tt.double {
				j.Sizes.Depth, j.Sizes.Depth2, j.Sizes.Angle2 = joint.Exactly(mm(near)), joint.Exactly(mm(far)), angle2
			}
			if tt.radius > 0 {
				j.Sizes.Radius = joint.Exactly(mm(tt.radius))
			}
			if got := float64(weld(t, j).Volume); !within(got, want, 1e-6) {
				t.Errorf("%s, inside %v: %.2f mm3, want %.2f by slices", tt.prep, inside, got, want)
			}
		}
	}
}

// TestSegmentsEqualSlices sums caps up in thin slices along a circle and a
// parabola, around a pipe, so that their centroids are held too.
func TestSegmentsEqualSlices(t *testing.T) {
	t.Parallel()
	const outside, wallOf, across, high = 100.0, 10.0, 20.0, 4.0
	ball := (across*across/4 + high*high) / (2 * high)
	widths := map[joint.CapForm]func(float64) float64{
		joint.Parabola: func(y float64) float64 { return across * math.Sqrt(1-y/high) },
		joint.Segment: func(y float64) float64 {
			d := ball - high + y
			return 2 * math.Sqrt(ball*ball-d*d)
		},
	}
	for form, wide := range widths {
		const slices = 200_000
		var want float64
		for i := range slices {
			y := (float64(i) + 0.5) * high / slices
			want += wide(y) * 2 * math.Pi * (outside/2 + y) * high / slices
		}
		plain := joint.Joint{Preparation: joint.SquareButt, Sizes: joint.Sizes{CapForm: form,
			Outside: joint.Exactly(mm(outside)), Wall: joint.Exactly(mm(wallOf)), Opening: joint.Exactly(mm(2))}}
		capped := plain
		capped.Sizes.CapHeight, capped.Sizes.CapWidth = joint.Exactly(mm(high)), joint.Exactly(mm(across))
		if got := float64(weld(t, capped).Volume - weld(t, plain).Volume); !within(got, want, 1e-5) {
			t.Errorf("%s: %.3f mm3, want %.3f by slices", form, got, want)
		}
	}
}

// TestSegmentOverParabola holds by how much a segment exceeds a parabola: 0.8 %
// at a height of a tenth of the width, 2.5 % at 0.18, 6.9 % at 0.30. Exact
// mathematics.
func TestSegmentOverParabola(t *testing.T) {
	t.Parallel()
	for share, want := range map[float64]float64{0.10: 0.8, 0.18: 2.5, 0.30: 6.9} {
		w, h := mm(100), mm(100*share)
		more := float64(joint.CapArea(joint.Segment, w, h)/joint.CapArea(joint.Parabola, w, h)-1) * 100
		if math.Abs(more-want) > 0.1 {
			t.Errorf("height %.2f of the width: %.2f %% more, want %.1f", share, more, want)
		}
	}
}

// TestSimpleShapes holds the shapes whose volume a pocket calculator gives.
func TestSimpleShapes(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name  string
		joint joint.Joint
		want  float64 // mm3
	}{
		{"fillet at 60 degrees: 6 x 6 sin 60 / 2", sized(joint.Fillet, func(s *joint.Sizes) {
			s.Leg, s.Angle = joint.Exactly(mm(6)), 60
		}), 18_000 * math.Sqrt(3) / 2},
		{"fillet of 6 with a gap of 2: 8 x 6 / 2", sized(joint.Fillet, func(s *joint.Sizes) {
			s.Leg, s.Opening = joint.Exactly(mm(6)), joint.Exactly(mm(2))
		}), 24_000},
		{"flare bevel: 0.2146 R^2", sized(joint.FlareBevel, func(s *joint.Sizes) {
			s.Radius = joint.Exactly(mm(10))
		}), (1 - math.Pi/4) * 100_000},
		{"flare V: 0.4292 R^2", sized(joint.FlareV, func(s *joint.Sizes) {
			s.Radius = joint.Exactly(mm(10))
		}), (2 - math.Pi/2) * 100_000},
		{"edge: 2/3 x 6 x 3", sized(joint.Edge, func(s *joint.Sizes) {
			s.Width, s.Fill = joint.Exactly(mm(6)), joint.Exactly(mm(3))
		}), 12_000},
		{"overlay: 50 x 3", sized(joint.Overlay, func(s *joint.Sizes) {
			s.Width, s.Fill = joint.Exactly(mm(50)), joint.Exactly(mm(3))
		}), 150_000},
		{"plug: pi 20^2/4 x 12", joint.Joint{Preparation: joint.Plug, Sizes: joint.Sizes{
			Thickness: joint.Exactly(mm(12)), Diameter: joint.Exactly(mm(20))}}, math.Pi * 1200},
		{"countersunk plug: pi 12 (15^2 + 15 x 10 + 10^2) / 3", joint.Joint{Preparation: joint.Plug, Sizes: joint.Sizes{
			Thickness: joint.Exactly(mm(12)), Diameter: joint.Exactly(mm(20)), Diameter2: joint.Exactly(mm(30))}}, math.Pi * 1900},
		{"slot filled half: (20 x 40 + pi 20^2/4) x 6", sized(joint.Slot, func(s *joint.Sizes) {
			s.Thickness, s.Width, s.Length, s.Fill = joint.Exactly(mm(12)), joint.Exactly(mm(20)), joint.Exactly(mm(60)), joint.Exactly(mm(6))
		}), (800 + math.Pi*100) * 6},
		{"overlay around a pipe: pi (53^2 - 50^2) x 40", joint.Joint{Preparation: joint.Overlay, Sizes: joint.Sizes{
			Outside: joint.Exactly(mm(100)), Width: joint.Exactly(mm(40)), Fill: joint.Exactly(mm(3))}}, math.Pi * 309 * 40},
		{"overlay in its bore: pi (40^2 - 37^2) x 40", joint.Joint{Preparation: joint.Overlay, Sizes: joint.Sizes{Inside: true,
			Outside: joint.Exactly(mm(100)), Wall: joint.Exactly(mm(10)), Width: joint.Exactly(mm(40)), Fill: joint.Exactly(mm(3))}}, math.Pi * 231 * 40},
		{"fillet around a pipe: 18 x 2 pi (50 + 6/3)", joint.Joint{Preparation: joint.Fillet, Sizes: joint.Sizes{
			Outside: joint.Exactly(mm(100)), Leg: joint.Exactly(mm(6))}}, 18 * 2 * math.Pi * 52},
		{"melt-in: 6 x 1 more", sized(joint.SingleV, func(s *joint.Sizes) {
			s.Thickness, s.Opening, s.Angle, s.Backing, s.MeltIn = joint.Exactly(mm(10)), joint.Exactly(mm(6)), 90, true, joint.Exactly(mm(1))
		}), 60_000 + 100_000 + 6_000},
		{"gouge of 8 and a radius of 6: pi 6^2/2 + 12 x 2 more", sized(joint.SquareButt, func(s *joint.Sizes) {
			s.Thickness, s.Opening, s.Gouge = joint.Exactly(mm(20)), joint.Exactly(mm(2)), joint.Exactly(mm(8))
		}), 40_000 + (math.Pi*18+24)*1000},
	}
	for _, tt := range tests {
		if got := float64(weld(t, tt.joint).Volume); !within(got, tt.want, 1e-9) {
			t.Errorf("%s: %.3f mm3, want %.3f", tt.name, got, tt.want)
		}
	}
}

// TestConvexFilletAroundAPipe holds the cap's centroid by thin slices along the
// face of a fillet of 8 along and 6 across a pipe of 100, convex by 2.
func TestConvexFilletAroundAPipe(t *testing.T) {
	t.Parallel()
	flat := joint.Joint{Preparation: joint.Fillet, Sizes: joint.Sizes{
		Outside: joint.Exactly(mm(100)), Leg: joint.Exactly(mm(8)), Leg2: joint.Exactly(mm(6))}}
	convex := flat
	convex.Sizes.CapHeight = joint.Exactly(mm(2))
	const slices, chord, high = 200_000, 10.0, 2.0
	var want float64
	for i := range slices {
		u := (float64(i)+0.5)/slices - 0.5 // along the face, from its middle
		h := high * (1 - 4*u*u)
		radius := 50 + 3 - u*6 + h/2*8/chord // the middle of the slice's height, across the pipe
		want += h * chord / slices * 2 * math.Pi * radius
	}
	if got := float64(weld(t, convex).Volume - weld(t, flat).Volume); !within(got, want, 1e-6) {
		t.Errorf("cap = %.3f mm3, want %.3f by slices", got, want)
	}
}

// TestSizesThatContradictEachOther names the column to mend.
func TestSizesThatContradictEachOther(t *testing.T) {
	t.Parallel()
	twenty := func(p joint.Preparation, change func(*joint.Sizes)) joint.Joint {
		return sized(p, func(s *joint.Sizes) {
			s.Thickness, s.Opening, s.RootFace, s.Angle = joint.Exactly(mm(20)), joint.Exactly(mm(2)), joint.Exactly(mm(2)), 40
			change(s)
		})
	}
	tests := []struct {
		name   string
		joint  joint.Joint
		reason joint.Reason
		field  string
	}{
		{"U without a radius", twenty(joint.SingleU, func(*joint.Sizes) {}), joint.MissingSize, "radius"},
		{"round higher than the groove", twenty(joint.SingleU, func(s *joint.Sizes) { s.Radius = joint.Exactly(mm(40)) }), joint.ImpossibleSize, "radius"},
		{"V with a radius", twenty(joint.SingleV, func(s *joint.Sizes) { s.Radius = joint.Exactly(mm(6)) }), joint.UnusedSize, "radius"},
		{"V with a second angle", twenty(joint.SingleV, func(s *joint.Sizes) { s.Angle2 = 40 }), joint.UnusedSize, "angle2"},
		{"double V on backing", twenty(joint.DoubleV, func(s *joint.Sizes) { s.Backing = true }), joint.UnusedSize, "backing"},
		{"depths that leave another root face", twenty(joint.DoubleV, func(s *joint.Sizes) {
			s.Depth, s.Depth2 = joint.Exactly(mm(10)), joint.Exactly(mm(9))
		}), joint.ImpossibleSize, "root_face"},
		{"depths deeper than the plate", twenty(joint.DoubleV, func(s *joint.Sizes) {
			s.Depth, s.Depth2 = joint.Exactly(mm(11)), joint.Exactly(mm(10))
		}), joint.ImpossibleSize, "depth2"},
		{"depth that leaves nothing for the far side", twenty(joint.DoubleV, func(s *joint.Sizes) { s.Depth = joint.Exactly(mm(18)) }), joint.ImpossibleSize, "depth"},
		{"bevel of 90 degrees", twenty(joint.SingleBevel, func(s *joint.Sizes) { s.Angle = 90 }), joint.ImpossibleSize, "angle"},
		{"melt-in without backing", twenty(joint.SingleV, func(s *joint.Sizes) { s.MeltIn = joint.Exactly(mm(1)) }), joint.UnusedSize, "melt_in"},
		{"gouge through the plate", twenty(joint.SingleV, func(s *joint.Sizes) { s.Gouge = joint.Exactly(mm(21)) }), joint.ImpossibleSize, "gouge"},
		{"radius of no gouge", twenty(joint.SingleV, func(s *joint.Sizes) { s.GougeEnd = joint.Exactly(mm(6)) }), joint.UnusedSize, "gouge_radius"},
		{"root reinforcement on backing", twenty(joint.SingleV, func(s *joint.Sizes) {
			s.Backing, s.RootHeight = true, joint.Exactly(mm(1))
		}), joint.UnusedSize, "root_height"},
		{"cap that is more than half a circle", twenty(joint.SingleV, func(s *joint.Sizes) {
			s.CapForm, s.CapHeight = joint.Segment, joint.Exactly(mm(10))
		}), joint.ImpossibleSize, "cap_height"},
		{"plate with an inside", twenty(joint.SingleV, func(s *joint.Sizes) { s.Inside = true }), joint.UnusedSize, "side"},
		{"slot shorter than wide", sized(joint.Slot, func(s *joint.Sizes) {
			s.Width, s.Fill, s.Length = joint.Exactly(mm(20)), joint.Exactly(mm(5)), joint.Exactly(mm(10))
		}), joint.ImpossibleSize, "length"},
		{"plug filled above its hole", joint.Joint{Preparation: joint.Plug, Sizes: joint.Sizes{
			Thickness: joint.Exactly(mm(10)), Diameter: joint.Exactly(mm(20)), Fill: joint.Exactly(mm(12))}}, joint.ImpossibleSize, "fill"},
		{"countersink narrower than its hole", joint.Joint{Preparation: joint.Plug, Sizes: joint.Sizes{
			Thickness: joint.Exactly(mm(10)), Diameter: joint.Exactly(mm(20)), Diameter2: joint.Exactly(mm(18))}}, joint.ImpossibleSize, "diameter2"},
		{"overlay in a bore of unknown wall", joint.Joint{Preparation: joint.Overlay, Sizes: joint.Sizes{Inside: true,
			Outside: joint.Exactly(mm(100)), Width: joint.Exactly(mm(40)), Fill: joint.Exactly(mm(3))}}, joint.MissingSize, "wall"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			_, err := tt.joint.Weld()
			wantUncomputed(t, err, tt.reason, tt.field)
		})
	}
}
