package joint

import (
	"fmt"
	"strconv"

	"ovenward/inventory/measure"
)

// Preparation is the shape of a joint before it is welded. A plan may hold
// other text: such a joint is listed as one that has no geometry here.
type Preparation string

// The preparations that have a geometry here.
const (
	Fillet     Preparation = "fillet"
	SquareButt Preparation = "square butt"
	SingleV    Preparation = "single V"
)

// Preparations returns those that have a geometry, in the order to show them.
func Preparations() []Preparation { return []Preparation{Fillet, SquareButt, SingleV} }

// Size is a length that a plan gives or leaves out. The zero Size is left out,
// which is not the same as a size of zero.
type Size struct {
	Length measure.Length
	Given  bool
}

// Exactly returns a size that is given.
func Exactly(l measure.Length) Size { return Size{Length: l, Given: true} }

// String prints the length as the trade marks it, or "not given".
func (s Size) String() string {
	if !s.Given {
		return "not given"
	}
	return SizeText(s.Length)
}

// Angle is an angle in degrees. Zero is not given.
type Angle float64

// String prints "37.5 deg".
func (a Angle) String() string { return strconv.FormatFloat(float64(a), 'f', -1, 64) + " deg" }

// Sizes are the dimensions of a joint. Which of them count depends on the
// preparation; one that is given and does not count is refused, not ignored.
type Sizes struct {
	Thickness Size  // of the plate; for a pipe the wall is taken when it is not given
	Opening   Size  // root opening; may be zero
	RootFace  Size  // may be zero; not given on a backed V it is zero
	Angle     Angle // included angle of the V
	Backing   bool  // the root stands on a bar that stays or is cut off
	Leg       Size  // fillet
	Leg2      Size  // fillet with unequal legs; not given it equals Leg
	CapHeight Size  // reinforcement; not given there is none; negative on a fillet it is concave
	CapWidth  Size  // not given on a V it is the width of the groove at the face
	Length    Size  // of a straight weld
	Outside   Size  // outside diameter of a pipe
	Wall      Size  // of a pipe
}

// pipe reports whether the weld runs around a pipe.
func (s Sizes) pipe() bool { return s.Outside.Given || s.Wall.Given }

// Limits that catch a unit written wrong. No plate, leg or opening is as long
// as a metre, and no joint is as long as 100 km.
const (
	longestSection = 1 * measure.Metre
	longestRun     = 100_000 * measure.Metre
)

const wallHint = "the wall of the pipe, such as 7.11 mm"

// named is a size with the name of its column and what to write in it.
type named struct {
	name string
	size Size
	hint string
}

// require checks sizes that must be given and above zero.
func require(limit measure.Length, sizes ...named) error {
	for _, n := range sizes {
		if !n.size.Given {
			return &UncomputedError{Reason: MissingSize, Field: n.name, Why: "not given", Write: n.hint}
		}
		if err := within(n, 1, limit); err != nil {
			return err
		}
	}
	return nil
}

// within checks a size that is given against its limits.
func within(n named, least, most measure.Length) error {
	if !n.size.Given || (n.size.Length >= least && n.size.Length <= most) {
		return nil
	}
	why := fmt.Sprintf("more than %s", most)
	if n.size.Length < least {
		why = "not above zero"
		if least == 0 {
			why = "below zero"
		}
	}
	return impossible(n.name, n.size.String(), why, n.hint)
}

// refuse reports sizes that the preparation has no place for.
func refuse(p Preparation, sizes ...named) error {
	for _, n := range sizes {
		if n.size.Given && n.size.Length != 0 {
			return unused(n.name, n.size.String(), fmt.Sprintf("%s has no %s", p, n.name))
		}
	}
	return nil
}

func unused(field, value, why string) error {
	return &UncomputedError{
		Reason: UnusedSize, Field: field, Value: value, Why: why, Write: "nothing there, or another preparation",
	}
}

func impossible(field, value, why, write string) error {
	return &UncomputedError{Reason: ImpossibleSize, Field: field, Value: value, Why: why, Write: write}
}
