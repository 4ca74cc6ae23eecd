package metal

import (
	"fmt"
	"math"

	"ovenward/forecast/joint"
	"ovenward/inventory/measure"
)

// Rod is all that is known of one item, drawn together from the tables. Of wire and
// flux, which are bought by mass, one piece is one gram.
type Rod struct {
	Item       joint.Item
	Core       measure.Length // diameter of the core wire; "3.2 mm" rods may have 3.25 mm
	Length     measure.Length
	Stub       measure.Length // left by the welder
	Density    Density
	Efficiency Efficiency
	Coating    float64        // covering's share of the rod's mass; 0 is not known
	Weighed    measure.Mass   // of one piece, from receipts; 0 is not known
	BeadArea   joint.Area     // of one bead; 0 is not known
	RunOut     measure.Length // of bead that one rod makes; 0 is not known
	ByMass     bool           // wire or flux
	Rows       []Row          // the table rows behind the figures
}

// Need is what a volume of weld metal takes of one item. Its numbers are not
// rounded: a joint does not end with a rod.
type Need struct {
	Pieces    float64
	Deposited float64 // grams
	Purchased float64 // grams of whole rods, stubs included; 0 if the piece's mass is not known
}

// Need returns what a volume of weld metal takes.
func (r Rod) Need(v joint.Volume) Need {
	n := Need{Deposited: r.Density.Grams(v)}
	n.Pieces = n.Deposited / r.Deposit()
	n.Purchased = n.Pieces * r.pieceGrams()
	return n
}

// Deposit returns the grams that one rod deposits, its stub left.
//
// On core wire it is pi/4 d^2 rho (Le - s) R, which needs no mass of the
// covering. On the rod it is the mass of a piece times the efficiency with
// stub.
func (r Rod) Deposit() float64 {
	e := r.Efficiency
	if r.ByMass { // of a gram; flux deposits nothing
		return e.Value
	}
	switch e.Basis {
	case CoreWire:
		return coreGrams(r.Core, r.Length-r.Stub, r.Density) * e.Value
	case RodWithStub:
		without := e.Value / burntPart(r.Length, e.Stub)
		return r.pieceGrams() * StubCorrected(without, r.Length, r.Stub)
	default:
		return r.pieceGrams() * StubCorrected(e.Value, r.Length, r.Stub)
	}
}

// PieceMass returns the mass of one rod: as weighed on receipt, else the core
// wire's over its share of the rod. Zero is not known.
func (r Rod) PieceMass() measure.Mass { return Mass(r.pieceGrams()) }

func (r Rod) pieceGrams() float64 {
	switch {
	case r.ByMass:
		return 1
	case r.Weighed > 0:
		return r.Weighed.Grams()
	case r.Coating > 0:
		return coreGrams(r.Core, r.Length, r.Density) / (1 - r.Coating)
	}
	return 0
}

// Bead returns the cross section of one bead: what one rod deposits over the
// length of bead it makes where that is known, else the table's figure. Zero is
// not known.
func (r Rod) Bead() joint.Area {
	if r.RunOut > 0 {
		return joint.Area(r.Deposit() / r.Density.GramsPerCC() * 1000 / r.RunOut.Millimetres())
	}
	return r.BeadArea
}

// Describe says on what the rod's numbers stand, for the foot of a forecast.
func (r Rod) Describe() string {
	if r.ByMass {
		return r.describeWeighed()
	}
	piece := "mass of a piece not known, so purchased mass is not either"
	switch {
	case r.Weighed > 0:
		piece = fmt.Sprintf("piece %s as received", r.Weighed)
	case r.Coating > 0:
		piece = fmt.Sprintf("piece %s by core wire and %.0f %% covering", r.PieceMass(), r.Coating*100)
	}
	return fmt.Sprintf("%s: density %s; efficiency %s; rod %s, stub %s; %s; one rod deposits %s",
		r.Item, r.Density, r.Efficiency, joint.SizeText(r.Length), joint.SizeText(r.Stub), piece, Mass(r.Deposit()))
}

// check refuses figures that contradict each other.
func (r Rod) check() error {
	switch {
	case r.Stub < 0 || r.Stub >= r.Length:
		return fmt.Errorf("stub %s of a rod of %s; write a stub shorter than the rod", r.Stub, r.Length)
	case r.Efficiency.Stub >= r.Length:
		return fmt.Errorf("efficiency with a stub of %s for a rod of %s; write a stub shorter than the rod",
			r.Efficiency.Stub, r.Length)
	case r.Efficiency.Basis != CoreWire && r.pieceGrams() == 0:
		return fmt.Errorf("no mass of a piece, which an efficiency on %s needs; "+
			"receive a container with its net weight and pieces, or add a coating row", r.Efficiency.Basis)
	}
	if core := coreGrams(r.Core, r.Length, r.Density); r.Weighed > 0 && r.Weighed.Grams() < core {
		return fmt.Errorf("a piece of %s is lighter than its bare core wire of %s; check net weight and pieces",
			r.Weighed, Mass(core))
	}
	if d := r.Deposit(); !(d > 0) || math.IsInf(d, 0) {
		return fmt.Errorf("one rod would deposit %v g; check its rows", d)
	}
	return nil
}
