package supply

import (
	"math"
	"slices"
)

// NormalQuantile returns the z below which a standard normal variable lies with
// the probability p, from 0 to 1 exclusive.
func NormalQuantile(p float64) float64 { return math.Sqrt2 * math.Erfinv(2*p-1) }

func normalDensity(z float64) float64 { return math.Exp(-z*z/2) / math.Sqrt(2*math.Pi) }

// normalLoss is by how much a standard normal variable is above z on average,
// counted as zero where it is below.
func normalLoss(z float64) float64 {
	return normalDensity(z) - z*math.Erfc(z/math.Sqrt2)/2
}

// Quantile returns the p-quantile of figures by type 7 of Hyndman and Fan, which
// lies between two of them; NaN of none.
func Quantile(figures []float64, p float64) float64 {
	if len(figures) == 0 {
		return math.NaN()
	}
	sorted := slices.Sorted(slices.Values(figures))
	at := p * float64(len(sorted)-1)
	i := min(max(0, int(at)), len(sorted)-1)
	next := sorted[min(i+1, len(sorted)-1)]
	return sorted[i] + (at-float64(i))*(next-sorted[i])
}

// Chances are the probabilities of 0, 1, 2 pieces and so on in one period.
type Chances []float64

// Poisson returns the chances of a Poisson variable, up to where what is left
// is below 1e-15.
func Poisson(mean float64) Chances {
	const beyond = 12 // standard deviations, and as many pieces
	most := int(mean+beyond*math.Sqrt(mean)) + 2*beyond
	c := make(Chances, most+1)
	for k := range c {
		logFactorial, _ := math.Lgamma(float64(k) + 1)
		c[k] = math.Exp(float64(k)*math.Log(mean) - mean - logFactorial)
	}
	return c
}

// Mean returns how many pieces are taken on average.
func (c Chances) Mean() (mean float64) {
	for k, p := range c {
		mean += float64(k) * p
	}
	return mean
}

// cost is what having y pieces for one period costs on average: what is left
// over, each at over, and what is short, each at under.
func (c Chances) cost(y int64, over, under float64) (cost float64) {
	for k, p := range c {
		left := float64(y - int64(k))
		cost += p * max(over*left, -under*left)
	}
	return cost
}
