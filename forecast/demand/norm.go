package demand

import (
	"math"
	"slices"
)

// What is far from the norm is more than farScore scaled deviations from the
// median, by the modified score of Iglewicz and Hoaglin (1993; from memory), in
// which 0.6745 makes the MAD of normal figures their standard deviation. Within
// usualNear of the median nothing is far, however close the others lie (common
// practice).
const (
	farScore   = 3.5
	madToScore = 0.6745
	usualNear  = 0.2
)

// FewestForNorm is how many figures make a norm; fewer tell nothing apart (common
// practice).
const FewestForNorm = 5

// Norm is the middle of some figures and how far they usually lie from it. Neither
// moves when a few of them are far off, as a mean and its deviation do.
type Norm struct {
	Median float64
	MAD    float64 // median of the distances from the median
	Count  int
}

// NormOf returns the norm of figures in any order; of none it is zero.
func NormOf(list []float64) Norm {
	if len(list) == 0 {
		return Norm{}
	}
	n := Norm{Median: median(list), Count: len(list)}
	off := make([]float64, len(list))
	for i, x := range list {
		off[i] = math.Abs(x - n.Median)
	}
	n.MAD = median(off)
	return n
}

// Known reports whether there are enough figures to tell what is far from them.
func (n Norm) Known() bool { return n.Count >= FewestForNorm }

// Far reports whether a figure is far from the norm.
func (n Norm) Far(x float64) bool {
	off := math.Abs(x - n.Median)
	return n.Known() && off > usualNear*n.Median && madToScore*off > farScore*n.MAD
}

func median(list []float64) float64 {
	sorted := slices.Sorted(slices.Values(list))
	half := len(sorted) / 2
	if len(sorted)%2 == 1 {
		return sorted[half]
	}
	return (sorted[half-1] + sorted[half]) / 2
}
