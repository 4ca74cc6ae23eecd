package joint

import (
	"math"

	"ovenward/inventory/measure"
)

// Area is an area in square millimetres. One of them is 1 cm3 of weld metal
// for each metre of weld.
type Area float64

const squareInch Area = 25.4 * 25.4

// SquareInches returns the area in square inches.
func (a Area) SquareInches() float64 { return float64(a / squareInch) }

// Volume is a volume in cubic millimetres.
type Volume float64

// CubicCentimetres returns the volume in cubic centimetres.
func (v Volume) CubicCentimetres() float64 { return float64(v) / 1000 }

// Rectangle returns the part of a groove between parallel walls: depth times
// opening.
func Rectangle(depth, opening measure.Length) Area {
	return Area(depth.Millimetres() * opening.Millimetres())
}

// Bevel returns the triangle that one bevelled wall adds to a groove, depth^2
// tan(wall) / 2, where wall is the angle from the vertical: half the included
// angle of a V, which has two of them.
func Bevel(depth measure.Length, wall Angle) Area {
	return Area(square(depth.Millimetres()) * tan(wall) / 2)
}

// FilletArea returns the flat fillet between plates that meet at an angle: half
// the product of its legs and the sine, which is 1 at right angles.
func FilletArea(leg, leg2 measure.Length, between Angle) Area {
	return Area(leg.Millimetres() * leg2.Millimetres() * sin(between) / 2)
}

func square(x float64) float64 { return x * x }

func radians(a Angle) float64 { return float64(a) * math.Pi / 180 }

func tan(a Angle) float64 { return math.Tan(radians(a)) }

// sin is exactly 1 at a right angle, so that a fillet of 6 mm is 18 mm2.
func sin(a Angle) float64 {
	if a == RightAngle {
		return 1
	}
	return math.Sin(radians(a))
}

func cos(a Angle) float64 { return math.Cos(radians(a)) }
