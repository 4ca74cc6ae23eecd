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

func near(got, want, tolerance float64) bool { return math.Abs(got-want) <= tolerance*math.Abs(want) }

// e7018 is the rod of the worked examples: 1/8 x 14 in, 2 in stub.
func e7018(e metal.Efficiency) metal.Rod {
	return metal.Rod{
		Item: joint.Item{Class: "E7018", Diameter: inch / 8},
		Core: inch / 8, Length: 14 * inch, Stub: 2 * inch, Density: us, Efficiency: e,
	}
}

// TestRodOnCoreWireBasis recomputes a worked example of exact mathematics from
// inputs that are common practice, from memory: E7018 1/8 x 14 in, 110 % on core
// wire, 0.0486 lb bare core, .0458 lb deposited per rod, so 135 rods for 6.19 lb.
func TestRodOnCoreWireBasis(t *testing.T) {
	t.Parallel()
	r := e7018(metal.Efficiency{Value: 1.10, Basis: metal.CoreWire})
	if got := metal.CoreMass(r.Core, r.Length, us).Pounds(); !near(got, 0.0486, 0.002) {
		t.Errorf("core wire = %.4f lb, want 0.0486", got)
	}
	if got := metal.Mass(r.Deposit()).Pounds(); !near(got, 0.0458, 0.002) {
		t.Errorf("Deposit() = %.4f lb, want 0.0458", got)
	}
	need := r.Need(joint.Volume(6.19 / 0.283 * 25.4 * 25.4 * 25.4))
	if math.Abs(need.Pieces-135) > 0.5 {
		t.Errorf("Pieces = %.2f, want 135", need.Pieces)
	}
	if need.Purchased != 0 {
		t.Errorf("Purchased = %v g, want 0: the mass of a piece is not known", need.Purchased)
	}
}

// TestPurchasedMassWithStub recomputes the cost worksheet of the ESAB
// filler-metal handbook: E7018 3/16 in deposits 64 % with a 2 in stub, so 0.85 of
// price becomes 1.33 for a pound of weld metal, 1 / 0.64.
func TestPurchasedMassWithStub(t *testing.T) {
	t.Parallel()
	c := defaults(t)
	r, err := c.Rod(joint.Item{Class: "E7018", Diameter: 3 * inch / 16})
	if err != nil {
		t.Fatal(err)
	}
	need := r.Need(1_000_000)
	if got := 0.85 * need.Purchased / need.Deposited; math.Abs(got-1.33) > 0.005 {
		t.Errorf("0.85 per lb of rod = %.3f per lb deposited, want 1.33", got)
	}
	r.Stub = 4 * inch
	if got, want := r.Need(1_000_000).Purchased/need.Purchased, 12.0/10; !near(got, want, 1e-9) {
		t.Errorf("a 4 in stub takes %v times the rods of a 2 in stub, want (14-2)/(14-4) = %v", got, want)
	}
}

// TestBasesAgree holds that the three bases are three ways to say one thing:
// R on core wire is E / (1 - c) on the rod without stub, and that times
// (Le - s) / Le with stub.
func TestBasesAgree(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		lab := rapid.Float64Range(0.4, 0.85).Draw(t, "efficiency")
		covering := rapid.Float64Range(0.1, 0.5).Draw(t, "covering")
		volume := joint.Volume(rapid.Float64Range(1, 1e9).Draw(t, "volume"))
		measured := measure.Length(rapid.Int64Range(int64(inch), int64(6*inch)).Draw(t, "stub of the figure"))
		withStub := metal.Efficiency{Basis: metal.RodWithStub, Stub: measured}
		withStub.Value = metal.StubCorrected(lab, 14*inch, measured)
		var want metal.Need
		for i, e := range []metal.Efficiency{
			{Value: lab, Basis: metal.RodWithoutStub},
			{Value: lab / (1 - covering), Basis: metal.CoreWire},
			withStub,
		} {
			r := e7018(e)
			r.Coating = covering
			got := r.Need(volume)
			if i == 0 {
				want = got
				continue
			}
			if !near(got.Pieces, want.Pieces, 1e-9) || !near(got.Purchased, want.Purchased, 1e-9) ||
				!near(got.Deposited, want.Deposited, 1e-12) {
				t.Errorf("%s: Need = %+v, want %+v", e, got, want)
			}
		}
		if e := want.Deposited / want.Purchased; !near(e, metal.StubCorrected(lab, 14*inch, 2*inch), 1e-9) {
			t.Errorf("deposited / purchased = %v, want the efficiency with stub", e)
		}
	})
}

// TestWeighedPieceReplacesTheTables holds that a piece's mass from receipts
// counts and the covering's share does not; on core wire it changes the purchased
// mass alone.
func TestWeighedPieceReplacesTheTables(t *testing.T) {
	t.Parallel()
	item := joint.Item{Class: "E7018", Diameter: inch / 8}
	c := defaults(t)
	before, err := c.Rod(item)
	if err != nil {
		t.Fatal(err)
	}
	after, err := c.Weigh(item, 40*measure.Gram, "50 lb, 567 pieces, lot of 2 June").Rod(item)
	if err != nil {
		t.Fatal(err)
	}
	if got := after.PieceMass(); got != 40*measure.Gram {
		t.Errorf("PieceMass() = %v, want 40 g", got)
	}
	if got, want := after.Deposit(), 40*0.71*12/14; !near(got, want, 1e-9) {
		t.Errorf("Deposit() = %v g, want %v", got, want)
	}
	if before.Weighed != 0 {
		t.Errorf("Weigh changed the catalogue it was called on")
	}
	if !strings.Contains(after.Describe(), "piece 40 g as received") {
		t.Errorf("Describe() = %q does not say that the piece was weighed", after.Describe())
	}
}

// TestBareWireIsTheLeastAPieceWeighs holds that a wrong count on receipt is found
// out: 1/8 x 14 in of bare wire is 22.0 g.
func TestBareWireIsTheLeastAPieceWeighs(t *testing.T) {
	t.Parallel()
	item := joint.Item{Class: "E7018", Diameter: inch / 8}
	_, err := defaults(t).Weigh(item, 21*measure.Gram, "label").Rod(item)
	var bad *joint.UncomputedError
	if !errors.As(err, &bad) || bad.Reason != joint.UnknownItem {
		t.Fatalf("Rod() error = %v, want an unknown item", err)
	}
	if !strings.Contains(err.Error(), "lighter than its bare core wire") {
		t.Errorf("error %q does not name the bare core wire", err)
	}
}

// TestRodsPerPound holds the default tables against rods per pound computed from
// the same covering shares, which are from memory: 25, 14, 9, 6.2, 3.6, 2.7 of
// E7018 and so on, printed to two digits.
func TestRodsPerPound(t *testing.T) {
	t.Parallel()
	c := defaults(t)
	tests := []struct {
		class    string
		diameter measure.Length
		want     float64
		half     float64 // half a unit of the last digit
	}{
		{"E7018", 3 * inch / 32, 25, 0.5}, {"E7018", inch / 8, 14, 0.5}, {"E7018", 5 * inch / 32, 9, 0.5},
		{"E7018", 3 * inch / 16, 6.2, 0.05}, {"E7018", 7 * inch / 32, 3.6, 0.05}, {"E7018", inch / 4, 2.7, 0.05},
		{"E6010", inch / 8, 17.5, 0.05}, {"E6010", 5 * inch / 32, 11, 0.5}, {"E6010", 3 * inch / 16, 7.8, 0.05},
		{"E7024", inch / 8, 11, 0.5}, {"E7024", 5 * inch / 32, 7, 0.5}, {"E7024", 3 * inch / 16, 5, 0.5},
	}
	for _, tt := range tests {
		r, err := c.Rod(joint.Item{Class: tt.class, Diameter: tt.diameter})
		if err != nil {
			t.Error(err)
			continue
		}
		if got := 1 / r.PieceMass().Pounds(); math.Abs(got-tt.want) > tt.half {
			t.Errorf("%s: %.2f rods per pound, want %v", r.Item, got, tt.want)
		}
	}
}

// TestBeadFromRunOut holds that a bead is one rod's metal over the length it
// makes: 1/8 x 14 in at 110 % deposits 2.655 cm3 (0.0458 lb at 0.283 lb/in3),
// which over 150 mm is 17.7 mm2.
func TestBeadFromRunOut(t *testing.T) {
	t.Parallel()
	r := e7018(metal.Efficiency{Value: 1.10, Basis: metal.CoreWire})
	r.BeadArea, r.RunOut = 99, mm(150)
	if got := float64(r.Bead()); !near(got, 17.7, 0.005) {
		t.Errorf("Bead() = %.2f mm2, want 17.7", got)
	}
}
