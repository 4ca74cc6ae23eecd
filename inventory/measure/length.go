package measure

import (
	"fmt"
	"math"
	"math/big"
)

// Length is a distance in nanometres. 1/64 in is a whole number of them.
type Length int64

// Units of length.
const (
	Micrometre Length = 1_000
	Millimetre        = 1_000 * Micrometre
	Metre             = 1_000 * Millimetre
	Inch       Length = 25_400_000
	Foot              = 12 * Inch
)

var lengthUnits = unitTable{
	"mm": big.NewRat(1_000_000, 1), "cm": big.NewRat(10_000_000, 1), "m": big.NewRat(1_000_000_000, 1),
	"in": big.NewRat(25_400_000, 1), "in.": big.NewRat(25_400_000, 1), "inch": big.NewRat(25_400_000, 1),
	"inches": big.NewRat(25_400_000, 1), `"`: big.NewRat(25_400_000, 1),
	"ft": big.NewRat(304_800_000, 1), "foot": big.NewRat(304_800_000, 1), "feet": big.NewRat(304_800_000, 1),
	"'": big.NewRat(304_800_000, 1),
}

// ParseLength reads "1/8 in", "3.2 mm", `1 1/2"`, "100 ft". The error is a
// *UnitError; a bare number is refused.
func ParseLength(s string) (Length, error) {
	n, err := lengthUnits.parse("length", s, "a number with mm or in, such as 3.2 mm or 1/8 in")
	return Length(n), err
}

// Millimetres returns the length in millimetres.
func (l Length) Millimetres() float64 { return float64(l) / float64(Millimetre) }

// Inches returns the length in inches.
func (l Length) Inches() float64 { return float64(l) / float64(Inch) }

// String prints millimetres, the unit records are kept in: "3.175 mm".
func (l Length) String() string { return trimDecimal(int64(l), int64(Millimetre), 3) + " mm" }

// InchString prints inches, as a fraction with a denominator of at most 64
// where the length is one exactly, otherwise with three decimals.
func (l Length) InchString() string {
	const sixtyFourth = Inch / 64
	if l <= 0 || l%sixtyFourth != 0 {
		return trimDecimal(int64(l), int64(Inch), 3) + " in"
	}
	whole, part := l/Inch, l%Inch/sixtyFourth
	den := Length(64)
	for part != 0 && part%2 == 0 {
		part, den = part/2, den/2
	}
	switch {
	case part == 0:
		return fmt.Sprintf("%d in", whole)
	case whole == 0:
		return fmt.Sprintf("%d/%d in", part, den)
	default:
		return fmt.Sprintf("%d %d/%d in", whole, part, den)
	}
}

// Near reports whether two sizes are the same rod to a storekeeper: within
// 0.1 mm, so that 1/8 in (3.175 mm) and ISO 3.2 mm are one size and 3.2 and
// 4.0 mm are not.
func (l Length) Near(o Length) bool {
	return math.Abs(float64(l-o)) <= 0.1*float64(Millimetre)
}
