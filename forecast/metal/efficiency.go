package metal

import (
	"fmt"
	"math"
	"strconv"

	"ovenward/forecast/joint"
	"ovenward/inventory/measure"
)

// Basis is what an efficiency divides the deposited metal by. One and the same
// E7018 is about 110, 75 or 64 % depending on it, so no efficiency goes
// without.
type Basis string

// The bases.
const (
	// CoreWire divides by the core wire consumed (ISO 2401). It may exceed 100 %.
	CoreWire Basis = "core-wire"
	// RodWithoutStub divides by the covered rod consumed, the stub left out: the
	// laboratory efficiency of US tables.
	RodWithoutStub Basis = "rod-without-stub"
	// RodWithStub divides by the whole rod as issued, its stub included.
	RodWithStub Basis = "rod-with-stub"
	// Wire divides by the wire consumed, which has no stub.
	Wire Basis = "wire"
)

// Efficiency is deposited metal over consumable, with its basis.
type Efficiency struct {
	Value float64 // 0.71 is 71 %
	Basis Basis
	Stub  measure.Length // that the value includes; for RodWithStub only
}

// String prints "71 % rod-without-stub" or "64 % rod-with-stub (stub 2 in)".
func (e Efficiency) String() string {
	s := strconv.FormatFloat(e.Value*100, 'f', -1, 64) + " % " + string(e.Basis)
	if e.Basis == RodWithStub {
		s += " (stub " + joint.SizeText(e.Stub) + ")"
	}
	return s
}

// check refuses efficiencies that a basis cannot have. Recovery digits of EN
// ISO 2560-A go above 160 % of the core wire; no covered rod deposits more than
// it weighs.
func (e Efficiency) check() error {
	most := 1.0
	switch e.Basis {
	case CoreWire:
		most = 2.5
	case RodWithoutStub, RodWithStub, Wire:
	default:
		return fmt.Errorf("basis %q: unknown; write %s, %s, %s or %s", e.Basis, CoreWire, RodWithoutStub, RodWithStub, Wire)
	}
	if !(e.Value > 0 && e.Value <= most) {
		return fmt.Errorf("efficiency %v: not above 0 and at most %v for %s; write a ratio such as 0.71",
			e.Value, most, e.Basis)
	}
	if (e.Basis == RodWithStub) != (e.Stub > 0) {
		return fmt.Errorf("stub %s with basis %s; give the stub that the figure includes for %s and only for it",
			e.Stub, e.Basis, RodWithStub)
	}
	return nil
}

// Ratio returns deposited over consumed: 3 lb from 4 lb of rod is 0.75.
func Ratio(deposited, consumed measure.Mass) float64 {
	return float64(deposited) / float64(consumed)
}

// StubCorrected returns the efficiency with stub from the one without,
// E (Le - s) / Le (ESAB, Basic Welding Filler Metal Technology, Lesson IX,
// Figure 5).
func StubCorrected(withoutStub float64, rod, stub measure.Length) float64 {
	return withoutStub * burntPart(rod, stub)
}

// CoreMass returns the mass of a length of core wire, pi/4 d^2 length rho.
func CoreMass(diameter, length measure.Length, d Density) measure.Mass {
	return Mass(coreGrams(diameter, length, d))
}

func coreGrams(diameter, length measure.Length, d Density) float64 {
	r := diameter.Millimetres() / 2
	return d.Grams(joint.Volume(math.Pi * r * r * length.Millimetres()))
}

// burntPart is the part of a rod that is burnt when a stub is left.
func burntPart(rod, stub measure.Length) float64 {
	return float64(rod-stub) / float64(rod)
}
