package joint

import (
	"fmt"
	"strings"
)

// Preparation is the shape of a joint before it is welded. A plan may hold
// other text: such a joint is listed as one that has no geometry here.
type Preparation string

// The preparations that have a geometry here.
const (
	Fillet      Preparation = "fillet"
	SquareButt  Preparation = "square butt"
	SingleV     Preparation = "single V"
	DoubleV     Preparation = "double V"
	SingleBevel Preparation = "single bevel"
	DoubleBevel Preparation = "double bevel"
	SingleU     Preparation = "single U"
	DoubleU     Preparation = "double U"
	SingleJ     Preparation = "single J"
	DoubleJ     Preparation = "double J"
	FlareBevel  Preparation = "flare bevel"
	FlareV      Preparation = "flare V"
	Plug        Preparation = "plug"
	Slot        Preparation = "slot"
	Edge        Preparation = "edge"
	Overlay     Preparation = "overlay"
)

// Preparations returns those that have a geometry, in the order to show them.
func Preparations() []Preparation {
	return []Preparation{Fillet, SquareButt, SingleV, DoubleV, SingleBevel, DoubleBevel, SingleU, DoubleU,
		SingleJ, DoubleJ, FlareBevel, FlareV, Plug, Slot, Edge, Overlay}
}

// Known names the preparations that have a geometry, in one line.
func Known() string {
	names := make([]string, 0, len(Preparations()))
	for _, p := range Preparations() {
		names = append(names, string(p))
	}
	return strings.Join(names, ", ")
}

// Groove reports whether a weld lies between the faces of two parts: a butt or a
// groove with walls.
func (p Preparation) Groove() bool {
	_, walls := wallsOf(p)
	return walls || p == SquareButt
}

// shape is what a preparation is made of.
type shape struct {
	uses    fieldSet
	angle   bool // has an angle
	angle2  bool // has one on the far side too
	backing bool // may stand on a bar
	section func(*Sizes) (Section, error)
	volume  func(*Sizes) (Volume, error) // of one that is not carried along a line
}

// fieldSet is a set of sizes.
type fieldSet uint32

func set(all ...Field) fieldSet {
	var s fieldSet
	for _, f := range all {
		s |= 1 << f
	}
	return s
}

func (s fieldSet) has(f Field) bool { return s&(1<<f) != 0 }

// The sizes that preparations have in common.
func onALine() fieldSet { return set(length, outside, wall) }

func ofButts() fieldSet {
	return onALine() | set(thickness, opening, capHeight, capWidth, rootHeight, rootWidth, gouge, gougeEnd)
}

func ofSingles() fieldSet { return ofButts() | set(rootFace, meltIn) }

func ofDoubles() fieldSet { return ofButts() | set(rootFace, depth, depth2) }

// shapeOf returns what a preparation is made of; false where there is no
// geometry for it here.
func shapeOf(p Preparation) (shape, bool) {
	switch p {
	case Fillet:
		return shape{uses: onALine() | set(thickness, opening, leg, leg2, capHeight), angle: true, section: (*Sizes).fillet}, true
	case SquareButt:
		return shape{uses: ofButts() | set(meltIn), backing: true, section: (*Sizes).squareButt}, true
	case FlareBevel, FlareV:
		return shape{uses: set(opening, radius, length, capHeight, capWidth), section: flare(p)}, true
	case Plug:
		return shape{uses: set(thickness, diameter, diameter2, fill), volume: (*Sizes).plug}, true
	case Slot:
		return shape{uses: set(thickness, width, length, fill), volume: (*Sizes).slot}, true
	case Edge:
		return shape{uses: set(width, fill, length), section: (*Sizes).edge}, true
	case Overlay:
		return shape{uses: onALine() | set(width, fill), section: (*Sizes).overlay}, true
	default:
		w, ok := wallsOf(p)
		return w.shape(), ok
	}
}

// misused reports a size that is given and has no place in the preparation.
func (j *Joint) misused(s shape) error {
	z := &j.Sizes
	for f := range fields {
		if size := *z.At(f); size.Given() && size.Length() != 0 && !s.uses.has(f) {
			return unused(f.String(), size.String(), fmt.Sprintf("a %s has no %s", j.Preparation, f))
		}
	}
	switch {
	case z.Angle != 0 && !s.angle:
		return unused("angle", z.Angle.String(), fmt.Sprintf("a %s has no angle", j.Preparation))
	case z.Angle2 != 0 && !s.angle2:
		return unused("angle2", z.Angle2.String(), fmt.Sprintf("a %s has no second angle", j.Preparation))
	case z.Backing && !s.backing:
		return unused("backing", "yes", fmt.Sprintf("a %s stands on no backing", j.Preparation))
	case z.Inside && !z.pipe():
		return unused("side", "inside", "only a pipe has an inside")
	}
	return nil
}
