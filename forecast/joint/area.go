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

// RightFillet returns the flat fillet between plates at right angles: half the
// product of its legs.
func RightFillet(leg, leg2 measure.Length) Area {
	return Area(leg.Millimetres() * leg2.Millimetres() / 2)
}

// ParabolicCap returns the reinforcement above a face: two thirds of width
// times height. The ESAB handbook's reinforcement columns are this form; a
// circular segment gives 1 to 7 % more.
func ParabolicCap(width, height measure.Length) Area {
	return Area(width.Millimetres() * height.Millimetres() * 2 / 3)
}

func square(x float64) float64 { return x * x }

func tan(a Angle) float64 { return math.Tan(float64(a) * math.Pi / 180) }
