package metal

import (
	"fmt"
	"math"
	"strconv"

	"ovenward/inventory/measure"
)

// RateUnit is one of the two units in which deposition rates are printed.
type RateUnit string

// The units of deposition rate, per hour of arc.
const (
	PoundPerHour    RateUnit = "lb/h"
	KilogramPerHour RateUnit = "kg/h"
)

// fastestRate bounds a deposition rate, in grams an hour: submerged arc with
// several wires deposits about 100 kg.
const fastestRate = 200_000

// Rate is the weld metal that an arc deposits in an hour of burning, in the unit
// of its source.
type Rate struct {
	Value float64
	Unit  RateUnit
}

// ParseRate reads "2.74 lb/h" or "1.24 kg/h". A bare number is refused, and so is
// a rate that no arc has.
func ParseRate(s string) (Rate, error) {
	const write = "weld metal an hour of arc, such as 2.74 lb/h or 1.24 kg/h"
	v, unit, err := numberIn("rate", s, write, PoundPerHour, KilogramPerHour)
	if err != nil {
		return Rate{}, err
	}
	r := Rate{Value: v, Unit: unit}
	if g := r.grams(); !(g > 0 && g <= fastestRate) {
		return Rate{}, fmt.Errorf("rate %q: not above zero and at most 200 kg/h; write %s", s, write)
	}
	return r, nil
}

// RateOf returns the rate of a deposit that was weighed on the plate after a time
// of burning.
func RateOf(deposit measure.Mass, arc measure.Duration, unit RateUnit) Rate {
	perHour := deposit.Grams() * float64(measure.Hour) / float64(arc)
	return Rate{Value: perHour / gramsIn(unit), Unit: unit}
}

// Times returns a part of the rate.
func (r Rate) Times(part float64) Rate { return Rate{r.Value * part, r.Unit} }

// Arc returns how long the arc burns for so many grams of weld metal. What takes
// longer than can be told is the longest time there is.
func (r Rate) Arc(grams float64) measure.Duration { return hours(grams / r.grams()) }

// grams returns the rate in grams an hour.
func (r Rate) grams() float64 { return r.Value * gramsIn(r.Unit) }

// String prints the rate as its source does.
func (r Rate) String() string {
	return strconv.FormatFloat(r.Value, 'f', -1, 64) + " " + string(r.Unit)
}

func gramsIn(u RateUnit) float64 {
	if u == PoundPerHour {
		return measure.Mass(measure.Pound).Grams()
	}
	return measure.Mass(measure.Kilogram).Grams()
}

// hours turns a number of hours into a duration.
func hours(n float64) measure.Duration {
	if us := n * float64(measure.Hour); us < math.MaxInt64 {
		return measure.Duration(us)
	}
	return math.MaxInt64
}
