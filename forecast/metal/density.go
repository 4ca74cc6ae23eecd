package metal

import (
	"fmt"
	"math"
	"strconv"

	"ovenward/forecast/joint"
	"ovenward/inventory/measure"
)

// DensityUnit is one of the two units in which tables print densities.
type DensityUnit string

// The units of density.
const (
	PoundPerCubicInch DensityUnit = "lb/in3"
	GramPerCubicCM    DensityUnit = "g/cm3"
)

// Density is a density in the unit its source prints. It keeps that unit: the
// US tables' 0.283 lb/in3 is 7.833 g/cm3 and not the metric tables' 7.85, so
// two densities are equal only if value and unit are.
type Density struct {
	Value float64
	Unit  DensityUnit
}

// ParseDensity reads "0.283 lb/in3" or "7.85 g/cm3". A bare number is refused,
// and so is one that no metal has: below 1 or above 25 g/cm3.
func ParseDensity(s string) (Density, error) {
	const write = "a number with lb/in3 or g/cm3, such as 7.85 g/cm3"
	v, unit, err := numberIn("density", s, write, PoundPerCubicInch, GramPerCubicCM)
	if err != nil {
		return Density{}, err
	}
	d := Density{Value: v, Unit: unit}
	if g := d.GramsPerCC(); !(g >= 1 && g <= 25) {
		return Density{}, fmt.Errorf("density %q: no weld metal has it; write %s", s, write)
	}
	return d, nil
}

// GramsPerCC returns the density in g/cm3 by the exact inch and pound, without
// rounding it to the other table's figure.
func (d Density) GramsPerCC() float64 {
	if d.Unit == PoundPerCubicInch {
		return d.Value * measure.Mass(measure.Pound).Grams() / (2.54 * 2.54 * 2.54)
	}
	return d.Value
}

// Grams returns the mass of a volume in grams.
func (d Density) Grams(v joint.Volume) float64 { return d.GramsPerCC() * v.CubicCentimetres() }

// String prints the density as its source does.
func (d Density) String() string {
	return strconv.FormatFloat(d.Value, 'f', -1, 64) + " " + string(d.Unit)
}

// Mass turns grams into a recorded mass, to the nearest microgram. What no
// scale can show becomes the largest mass there is.
func Mass(grams float64) measure.Mass {
	micrograms := math.Round(grams * float64(measure.Mass(measure.Gram)))
	if micrograms >= math.MaxInt64 {
		return math.MaxInt64
	}
	return measure.Mass(micrograms)
}
