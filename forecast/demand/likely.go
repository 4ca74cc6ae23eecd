package demand

import (
	"math"
	"slices"

	"ovenward/forecast/joint"
	"ovenward/inventory/measure"
)

// Likely is what one item takes in one week, as far as it can be known
// beforehand.
type Likely struct {
	Week      measure.Week
	Item      joint.Item
	Expected  float64 // pieces by the plan with its fit-up and allowances, before what use has taught
	Mean      float64 // pieces, all of it
	Deviation float64 // standard deviation of the pieces
	P50, P90  int64   // whole pieces that do in half of all weeks like it, and in nine of ten
	// Draws are the pieces of each run. The same place is the same run in every
	// week and item, so that weeks can be added run by run.
	Draws []float64
}

// Quantile returns the pieces that do in a part p of all runs.
func (l Likely) Quantile(p float64) float64 {
	return Quantile(slices.Sorted(slices.Values(l.Draws)), p)
}

// Quantile returns a quantile of numbers in ascending order, between two of them
// in proportion: type 7 of Hyndman and Fan (1996), that of spreadsheets. It is
// not a number where there are none.
func Quantile(sorted []float64, p float64) float64 {
	if len(sorted) == 0 || !(p >= 0 && p <= 1) {
		return math.NaN()
	}
	at := p * float64(len(sorted)-1)
	low := int(at)
	if low == len(sorted)-1 {
		return sorted[low]
	}
	return sorted[low] + (at-float64(low))*(sorted[low+1]-sorted[low])
}

// moments returns the mean and the standard deviation of numbers.
func moments(x []float64) (mean, deviation float64) {
	if len(x) < 2 {
		return sum(x), 0
	}
	mean = sum(x) / float64(len(x))
	var squares float64
	for _, v := range x {
		squares += (v - mean) * (v - mean)
	}
	return mean, math.Sqrt(squares / float64(len(x)-1))
}

func sum(x []float64) (total float64) {
	for _, v := range x {
		total += v
	}
	return total
}
