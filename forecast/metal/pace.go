package metal

import (
	"math"

	"ovenward/inventory/measure"
)

// Factor is an operating factor: the part of a welder's hours in which the arc
// burns. It differs more from shop to shop than anything else in a forecast, so
// it comes with the range that its source prints.
type Factor struct {
	Value     float64 // 0.30 is 30 %
	Low, High float64 // zero where the source prints no range
}

// Pace is how fast one welder turns an item into weld metal.
type Pace struct {
	Rate   Rate
	Factor Factor
	Rows   []Row // the table rows behind both
}

// Arc returns how long the arc burns for so many grams of weld metal: deposit
// over deposition rate.
func (p Pace) Arc(grams float64) measure.Duration { return p.Rate.Arc(grams) }

// Work returns the welder's hours for so many grams of weld metal: arc time over
// operating factor.
func (p Pace) Work(grams float64) measure.Duration { return p.Rate.Times(p.Factor.Value).Arc(grams) }

// Deposit returns the grams that one welder deposits in so many hours of work.
func (p Pace) Deposit(work measure.Duration) float64 {
	return p.Rate.Times(p.Factor.Value).grams() * float64(work) / float64(measure.Hour)
}

// Burn returns how long one rod burns.
func (p Pace) Burn(r Rod) measure.Duration { return p.Arc(r.Deposit()) }

// Rods returns the whole rods that one welder burns in so many hours of work,
// floor(hours x operating factor x 60 / minutes a rod burns). With a shift it is
// the rods of a shift, with what is left of an exposure limit the most rods that
// should go out at once: the two are one calculation.
func (p Pace) Rods(r Rod, work measure.Duration) int64 {
	n := p.Deposit(max(0, work)) / r.Deposit()
	const noise = 1e-9 // what a floating sum leaves below a whole number
	return int64(math.Floor(n + noise*max(1, n)))
}
