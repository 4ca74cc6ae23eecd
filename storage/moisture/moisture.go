// Package moisture estimates the water that a covering takes up from the air. It is
// an estimate and no criterion: it may ask for rods to come back earlier, and never
// extends a limit, releases stock or sets a clock back.
//
// No published model holds for every brand, and the forms that are published
// differ by four in the first half hour. Their spread is what is known.
package moisture

import (
	"math"

	"ovenward/inventory/measure"
	"ovenward/storage/air"
)

// Covering is a kind of low-hydrogen covering.
type Covering string

// The coverings of which figures are published.
const (
	Plain     Covering = "plain"
	Resistant Covering = "moisture-resistant" // with the R mark
)

// Form is a way in which absorbed water grows with time, through a published
// figure.
type Form struct {
	Name      string
	Power     float64 // of time
	Low, High float64 // per cent by weight after the figure's time in the figure's air
	Source    string
}

// The air and the time of the tests that the figures come from.
var (
	testAir  = air.Air{Temp: measure.Celsius(27), RH: measure.Saturated / 100 * 80}
	testTime = 9 * measure.Hour
)

// Published returns the forms of a covering. That water goes in with the square
// root of time, or evenly, are both choices of a form; the figures are measured.
func Published(c Covering) []Form {
	if c == Resistant {
		return []Form{{Name: "square root of time", Power: 0.5, Low: 0.03, High: 0.1,
			Source: "0.03 %: Scientific Reports 13:9892 (2023), treated E7018; 0.1 %: A5.1 and A5.5, between what may be in an R covering before and after exposure"}}
	}
	const source = "0.67 % of E7018 in 9 h at 27 °C and 80 %: Scientific Reports 13:9892 (2023)"
	return []Form{{Name: "square root of time", Power: 0.5, Low: 0.67, High: 0.67, Source: source},
		{Name: "linear", Power: 1, Low: 0.67, High: 0.67, Source: source}}
}

// Gain returns the least and the most water in per cent by weight that a covering
// has taken up after a time in air, by the form. Power says how strongly vapour
// counts; see VapourPowers.
func (f Form) Gain(t measure.Duration, a air.Air, power float64) (low, high float64) {
	share := math.Pow(float64(max(t, 0))/float64(testTime), f.Power) * math.Pow(a.Vapour()/testAir.Vapour(), power)
	return f.Low * share, f.High * share
}

// VapourPowers are the ends of what is assumed of how water taken up grows with
// the pressure of the vapour in the air. No source measures it.
var VapourPowers = [2]float64{0.5, 1.5}

// Spread is by how much an estimate may be wrong for a brand, up or down. It is
// common practice, not measured.
const Spread = 2

// Range is an estimate of absorbed water, in per cent by weight.
type Range struct{ Low, High float64 }

// Estimate returns what a covering has taken up that was exposed for at least and
// at most a time in air: the widest of all forms, with their spread.
func Estimate(c Covering, least, most measure.Duration, a air.Air) Range {
	r := Range{Low: math.Inf(1)}
	for _, f := range Published(c) {
		for _, power := range VapourPowers {
			low, _ := f.Gain(least, a, power)
			_, high := f.Gain(most, a, power)
			r.Low, r.High = min(r.Low, low/Spread), max(r.High, high*Spread)
		}
	}
	return r
}

// Earlier returns when a covering has taken up in air what it takes up within a
// limit in the air of the tests: the earliest and the latest of all forms. Neither
// is ever later than the limit, whatever the air.
func Earlier(c Covering, limit measure.Duration, a air.Air) (first, last measure.Duration) {
	first = limit
	ratio := testAir.Vapour() / a.Vapour()
	if !(ratio < 1) { // drier air than the tests', or none in it at all
		return limit, limit
	}
	for _, f := range Published(c) {
		for _, power := range VapourPowers {
			t := measure.Duration(float64(limit) * math.Pow(ratio, power/f.Power))
			first, last = min(first, t), max(last, t)
		}
	}
	return first, min(last, limit)
}

// Hydrogen returns the diffusible hydrogen in ml to 100 g of weld metal by the
// formula of Hirai, Hiro and Tsuboi (Kawasaki): sqrt(A + 12a + 0.64b) - 1.8, with A
// a constant of the brand, a the absorbed water in per cent and b the pressure of
// vapour in mmHg. The method of measuring is taken to be the Japanese one with
// glycerine; no source read says so.
func Hydrogen(brand, absorbed, vapourMMHg float64) float64 {
	return math.Sqrt(brand+perAbsorbed*absorbed+perVapour*vapourMMHg) - 1.8
}

// The weights of absorbed water and of vapour in that formula.
const (
	perAbsorbed = 12
	perVapour   = 0.64
)

// AsAbsorbed returns the absorbed water that would raise hydrogen as much as the
// vapour of the air does while it is welded in, whatever the brand, by the formula of
// Hydrogen: a rod fresh from its bake is not spared it.
func AsAbsorbed(a air.Air) float64 { return perVapour / perAbsorbed * a.VapourMMHg() }
