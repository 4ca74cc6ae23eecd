package metal

import "ovenward/inventory/measure"

// LengthPerPound returns the inches of bare wire in a pound.
func LengthPerPound(diameter measure.Length, d Density) float64 {
	perInch := coreGrams(diameter, measure.Length(measure.Inch), d)
	return measure.Mass(measure.Pound).Grams() / perInch
}

// MeltOff returns how fast a wire is melted that is fed so far in a minute, of a
// mass of so many grams in an inch: 60 x feed x mass. The deposition rate is that
// times the efficiency.
//
// The trade's 13.1 d^2 feed, in inches and pounds, is 60 pi/4 times a density of
// 0.278 lb/in3; with 0.283 it is 13.34, 1.8 % more.
func MeltOff(gramsPerInch float64, feed measure.Length) Rate {
	perHour := 60 * gramsPerInch * float64(feed) / float64(measure.Inch)
	return Rate{Value: perHour / gramsIn(PoundPerHour), Unit: PoundPerHour}
}

// WireGrams returns the mass of an inch of solid wire.
func WireGrams(diameter measure.Length, d Density) float64 {
	return coreGrams(diameter, measure.Length(measure.Inch), d)
}
