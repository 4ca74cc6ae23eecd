package joint_test

import (
	"errors"
	"math"
	"testing"

	"ovenward/forecast/joint"
	"ovenward/inventory/measure"
)

// The shapes that the tests below change.
func backedV() joint.Joint {
	return joint.Joint{
		Preparation: joint.SingleV,
		Sizes: joint.Sizes{
			Thickness: joint.Exactly(inch), Opening: joint.Exactly(inch / 4), Angle: 45, Backing: true,
			Length: joint.Exactly(10 * measure.Length(measure.Foot)),
		},
	}
}

func fillet() joint.Joint {
	return joint.Joint{
		Preparation: joint.Fillet,
		Sizes:       joint.Sizes{Leg: joint.Exactly(mm(6)), Length: joint.Exactly(measure.Metre)},
	}
}

func pipe() joint.Joint {
	return joint.Joint{
		Preparation: joint.SingleV,
		Sizes: joint.Sizes{
			Opening: joint.Exactly(mm(2.4)), RootFace: joint.Exactly(mm(1.6)), Angle: 75,
			Outside: joint.Exactly(mm(168.3)), Wall: joint.Exactly(mm(7.11)),
		},
	}
}

func TestWeldVolumes(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name   string
		joint  joint.Joint
		change func(*joint.Sizes)
		want   float64 // mm3
		cap    joint.CapOrigin
	}{
		{"equal fillet: 6^2/2 along 1 m", fillet(), nil, 18_000, joint.NoCap},
		{"unequal fillet: 6 x 8 / 2", fillet(), func(s *joint.Sizes) {
			s.Leg2 = joint.Exactly(mm(8))
		}, 24_000, joint.NoCap},
		{"convex fillet", fillet(), func(s *joint.Sizes) {
			s.Leg2, s.CapHeight = joint.Exactly(mm(8)), joint.Exactly(mm(1))
		}, 24_000 + 20_000.0/3, joint.FilletFace},
		{"backed V of 0.66421 in2 along 10 ft", backedV(), nil, 0.664214 * 120 * 25.4 * 25.4 * 25.4, joint.NoCap},
		{"cap as wide as the groove: 2/3 x 1.07843 x 1/8 in2 more", backedV(), func(s *joint.Sizes) {
			s.CapHeight = joint.Exactly(inch / 8)
		}, (0.664214 + 0.089869) * 120 * 25.4 * 25.4 * 25.4, joint.GrooveCap},
		{"stated cap: 2/3 x 1.2 x 1/8 in2 more", backedV(), func(s *joint.Sizes) {
			s.CapHeight, s.CapWidth = joint.Exactly(inch/8), joint.Exactly(inches(1.2))
		}, (0.664214 + 0.1) * 120 * 25.4 * 25.4 * 25.4, joint.StatedCap},
		{"pipe V by Pappus", pipe(), nil, 20_690, joint.NoCap},
		{"square butt 5 x 2 along 1 m", joint.Joint{Preparation: joint.SquareButt}, func(s *joint.Sizes) {
			s.Thickness, s.Opening, s.Length = joint.Exactly(mm(5)), joint.Exactly(mm(2)), joint.Exactly(measure.Metre)
		}, 10_000, joint.NoCap},
		{"square butt of a pipe: pi (60 - 4) 4 x 2", joint.Joint{Preparation: joint.SquareButt}, func(s *joint.Sizes) {
			s.Outside, s.Wall, s.Opening = joint.Exactly(mm(60)), joint.Exactly(mm(4)), joint.Exactly(mm(2))
		}, math.Pi * 56 * 8, joint.NoCap},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			if tt.change != nil {
				tt.change(&tt.joint.Sizes)
			}
			w, err := tt.joint.Weld()
			if err != nil {
				t.Fatal(err)
			}
			if got := float64(w.Volume); !within(got, tt.want, 5e-5) {
				t.Errorf("Volume = %.1f mm3, want %.1f", got, tt.want)
			}
			if w.Cap != tt.cap {
				t.Errorf("Cap = %q, want %q", w.Cap, tt.cap)
			}
		})
	}
}

func TestWhatCannotBeComputedSaysWhy(t *testing.T) {
	t.Parallel()
	none := joint.Size{}
	tests := []struct {
		name   string
		joint  joint.Joint
		change func(*joint.Sizes)
		reason joint.Reason
		field  string
	}{
		{"unknown preparation", joint.Joint{Preparation: "dovetail"}, nil, joint.NoGeometry, "prep"},
		{"no leg", fillet(), func(s *joint.Sizes) { s.Leg = none }, joint.MissingSize, "leg"},
		{"leg of zero", fillet(), func(s *joint.Sizes) {
			s.Leg = joint.Exactly(0)
		}, joint.ImpossibleSize, "leg"},
		{"leg below zero", fillet(), func(s *joint.Sizes) {
			s.Leg2 = joint.Exactly(mm(-6))
		}, joint.ImpossibleSize, "leg2"},
		{"leg of 6 m", fillet(), func(s *joint.Sizes) {
			s.Leg = joint.Exactly(6 * measure.Metre)
		}, joint.ImpossibleSize, "leg"},
		{"fillet with a root face", fillet(), func(s *joint.Sizes) {
			s.RootFace = joint.Exactly(mm(2))
		}, joint.UnusedSize, "root_face"},
		{"hollow deeper than the fillet", fillet(), func(s *joint.Sizes) { s.CapHeight = joint.Exactly(mm(-4)) },
			joint.ImpossibleSize, "prep"},
		{"no length", fillet(), func(s *joint.Sizes) { s.Length = none }, joint.MissingSize, "length"},
		{"no thickness", backedV(), func(s *joint.Sizes) {
			s.Thickness = none
		}, joint.MissingSize, "thickness"},
		{"no opening", backedV(), func(s *joint.Sizes) {
			s.Opening = none
		}, joint.MissingSize, "opening"},
		{"opening below zero", backedV(), func(s *joint.Sizes) {
			s.Opening = joint.Exactly(-1)
		}, joint.ImpossibleSize, "opening"},
		{"no angle", backedV(), func(s *joint.Sizes) { s.Angle = 0 }, joint.MissingSize, "angle"},
		{"angle of 200", backedV(), func(s *joint.Sizes) {
			s.Angle = 200
		}, joint.ImpossibleSize, "angle"},
		{"angle that is no number", backedV(), func(s *joint.Sizes) { s.Angle = joint.Angle(math.NaN()) },
			joint.ImpossibleSize, "angle"},
		{"no root face without backing", backedV(), func(s *joint.Sizes) {
			s.Backing = false
		}, joint.MissingSize, "root_face"},
		{"root face as thick as the plate", backedV(), func(s *joint.Sizes) { s.RootFace = joint.Exactly(inch) },
			joint.ImpossibleSize, "root_face"},
		{"V with a leg", backedV(), func(s *joint.Sizes) {
			s.Leg = joint.Exactly(mm(6))
		}, joint.UnusedSize, "leg"},
		{"cap narrower than the groove", backedV(), func(s *joint.Sizes) {
			s.CapHeight, s.CapWidth = joint.Exactly(mm(2)), joint.Exactly(inch)
		}, joint.ImpossibleSize, "cap_width"},
		{"cap width without height", backedV(), func(s *joint.Sizes) { s.CapWidth = joint.Exactly(2 * inch) },
			joint.UnusedSize, "cap_width"},
		{"sunken cap on a V", backedV(), func(s *joint.Sizes) { s.CapHeight = joint.Exactly(mm(-1)) },
			joint.ImpossibleSize, "cap_height"},
		{"pipe with a length", pipe(), func(s *joint.Sizes) {
			s.Length = joint.Exactly(mm(500))
		}, joint.UnusedSize, "length"},
		{"pipe without a wall", pipe(), func(s *joint.Sizes) {
			s.Wall = none
		}, joint.MissingSize, "wall"},
		{"pipe without od", pipe(), func(s *joint.Sizes) { s.Outside = none }, joint.MissingSize, "od"},
		{"pipe without a bore", pipe(), func(s *joint.Sizes) {
			s.Wall = joint.Exactly(mm(90))
		}, joint.ImpossibleSize, "wall"},
		{"pipe with another thickness", pipe(), func(s *joint.Sizes) { s.Thickness = joint.Exactly(mm(8)) },
			joint.ImpossibleSize, "thickness"},
		{"square butt without room", joint.Joint{Preparation: joint.SquareButt}, func(s *joint.Sizes) {
			s.Thickness, s.Opening, s.Length = joint.Exactly(mm(3)), joint.Exactly(0), joint.Exactly(measure.Metre)
		}, joint.ImpossibleSize, "prep"},
		{"square butt with a cap of no width", joint.Joint{Preparation: joint.SquareButt}, func(s *joint.Sizes) {
			s.Thickness, s.Opening, s.CapHeight = joint.Exactly(mm(3)), joint.Exactly(mm(2)), joint.Exactly(mm(1))
			s.Length = joint.Exactly(measure.Metre)
		}, joint.MissingSize, "cap_width"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			if tt.change != nil {
				tt.change(&tt.joint.Sizes)
			}
			_, err := tt.joint.Weld()
			wantUncomputed(t, err, tt.reason, tt.field)
		})
	}
}

// wantUncomputed holds that an error names a reason and a column, and says why
// and what to write.
func wantUncomputed(t *testing.T, err error, reason joint.Reason, field string) {
	t.Helper()
	bad, ok := errors.AsType[*joint.UncomputedError](err)
	if !ok {
		t.Fatalf("Weld() error = %v, want an UncomputedError", err)
	}
	if bad.Reason != reason || bad.Field != field {
		t.Errorf("Weld() = %s of %s (%v), want %s of %s", bad.Reason, bad.Field, err, reason, field)
	}
	if bad.Why == "" || bad.Write == "" {
		t.Errorf("error %q lacks why or what to write", err)
	}
}
