package joint

import (
	"strconv"

	"ovenward/inventory/measure"
)

// Size is a length that a plan gives or leaves out. The zero Size is left out,
// which is not the same as a size of zero. It takes eight bytes, because a plan
// may have a million joints.
type Size struct{ coded measure.Length }

// Exactly returns a size that is given.
func Exactly(l measure.Length) Size {
	if l >= 0 {
		l++ // zero stands for left out
	}
	return Size{l}
}

// Given reports whether the plan gives the size.
func (s Size) Given() bool { return s.coded != 0 }

// Equal reports whether two sizes are the same.
func (s Size) Equal(o Size) bool { return s == o }

// Length returns the size; zero where it is left out.
func (s Size) Length() measure.Length {
	if s.coded > 0 {
		return s.coded - 1
	}
	return s.coded
}

// Or returns the size, or another length where it is left out.
func (s Size) Or(l measure.Length) measure.Length {
	if s.Given() {
		return s.Length()
	}
	return l
}

// String prints the length as the trade marks it, or "not given".
func (s Size) String() string {
	if !s.Given() {
		return "not given"
	}
	return SizeText(s.Length())
}

// Angle is an angle in degrees. Zero is not given.
type Angle float64

// RightAngle is that between the parts of most fillets.
const RightAngle Angle = 90

// String prints "37.5 deg".
func (a Angle) String() string { return strconv.FormatFloat(float64(a), 'f', -1, 64) + " deg" }

// Sizes are the dimensions of a joint. Which of them count depends on the
// preparation; one that is given and does not count is refused, not ignored.
type Sizes struct {
	Thickness Size // of the plate; for a pipe the wall is taken when it is not given
	Opening   Size // root opening, may be zero; the gap of a fillet
	RootFace  Size // may be zero; not given on a backed V or bevel it is zero
	Depth     Size // of the near side of a double groove; not given the sides share
	Depth2    Size // of its far side
	Radius    Size // of a J or U groove; the outside radius of a flare
	Leg       Size // fillet; around a pipe the one along it
	Leg2      Size // fillet with unequal legs; not given it equals Leg

	CapHeight  Size // reinforcement; not given there is none; negative on a fillet it is concave
	CapWidth   Size // not given on a groove with walls it is the width of the groove at the face
	RootHeight Size // reinforcement of the far side
	RootWidth  Size // not given it is the far side's own width
	MeltIn     Size // into the backing
	Gouge      Size // depth to which the far side is gouged and filled again
	GougeEnd   Size // radius of the gouge; not given it is DefaultGouge

	Width     Size // of a slot, an edge or an overlay
	Diameter  Size // of a plug's hole
	Diameter2 Size // of a plug's hole at its top, where it is countersunk
	Fill      Size // depth to which a plug or slot is filled; height of an edge weld or an overlay

	Length  Size // of a straight weld, or of a slot
	Outside Size // outside diameter of a pipe
	Wall    Size // of a pipe

	Angle   Angle   // included angle of a V or U; of the wall of a bevel or J; between a fillet's parts
	Angle2  Angle   // of the far side of a double groove; not given it equals Angle
	Backing bool    // the root stands on a bar that stays or is cut off
	Inside  bool    // the near side of a pipe is its bore
	CapForm CapForm // of both reinforcements; empty is Parabola
}

// pipe reports whether the weld runs around a pipe.
func (s *Sizes) pipe() bool { return s.Outside.Given() || s.Wall.Given() }
