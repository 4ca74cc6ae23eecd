package demand

import (
	"math"
	"math/rand/v2"
)

// stream returns the random numbers of one source of spread. Each has its own,
// so that a source that is taken away leaves the numbers of the others.
func stream(seed uint64, s Source) *rand.Rand { return rand.New(rand.NewPCG(seed, uint64(s)+1)) }

// triangle is a triangular distribution.
type triangle struct{ low, mode, high float64 }

func (t triangle) mean() float64 { return (t.low + t.mode + t.high) / 3 }

func (t triangle) variance() float64 {
	l, m, h := t.low, t.mode, t.high
	return (l*l + m*m + h*h - l*m - l*h - m*h) / 18
}

func (t triangle) draw(r *rand.Rand) float64 {
	u, wide := r.Float64(), t.high-t.low
	if below := t.mode - t.low; u*wide < below {
		return t.low + math.Sqrt(u*wide*below)
	}
	return t.high - math.Sqrt((1-u)*wide*(t.high-t.mode))
}

// fewWelds is up to how many equal welds are drawn one by one. The mean of more
// triangular draws than these is normal but for less than a hundredth of their
// standard deviation at P90, by the Edgeworth correction of their skewness.
const fewWelds = 12

// drawMean draws the mean of n independent draws.
func (t triangle) drawMean(r *rand.Rand, n int64) float64 {
	if t.low >= t.high {
		return t.mode
	}
	if n > fewWelds {
		v := t.mean() + r.NormFloat64()*math.Sqrt(t.variance()/float64(n))
		return min(max(v, t.low), t.high)
	}
	var total float64
	for range n {
		total += t.draw(r)
	}
	return total / float64(n)
}

// drawHits draws how many of n happen, each with a chance whose complement has
// the logarithm given: by inversion, and from a normal where more than 30 are
// expected.
func drawHits(r *rand.Rand, n int64, chance, logMiss float64) float64 {
	u := r.Float64()
	if chance <= 0 {
		return 0
	}
	if chance >= 1 {
		return float64(n)
	}
	if mean := float64(n) * chance; mean > 30 {
		hits := math.Round(mean + math.Sqrt(mean*(1-chance))*r.NormFloat64())
		return min(max(hits, 0), float64(n))
	}
	p := math.Exp(float64(n) * logMiss)
	odds, k := chance/(1-chance), int64(0)
	for u > p && k < n {
		u -= p
		k++
		p *= odds * float64(n-k+1) / float64(k)
	}
	return float64(k)
}

// drawGamma draws from a gamma distribution by its mean and standard deviation,
// after Marsaglia and Tsang (2000). Without a deviation it is the mean.
func drawGamma(r *rand.Rand, mean, deviation float64) float64 {
	if deviation <= 0 || mean <= 0 {
		return mean
	}
	shape := mean * mean / (deviation * deviation)
	boost := 1.0
	if shape < 1 { // a shape below 1 by one above it
		boost = math.Pow(1-r.Float64(), 1/shape)
		shape++
	}
	d := shape - 1.0/3
	c := 1 / math.Sqrt(9*d)
	for {
		x := r.NormFloat64()
		v := 1 + c*x
		if v <= 0 {
			continue
		}
		v = v * v * v
		if math.Log(1-r.Float64()) < x*x/2+d-d*v+d*math.Log(v) {
			return d * v * boost * deviation * deviation / mean
		}
	}
}

// drawIndex draws an index by its chances; the last takes what they leave.
func drawIndex(r *rand.Rand, chances []float64) int {
	u := r.Float64()
	for i, p := range chances {
		if u < p || i == len(chances)-1 {
			return i
		}
		u -= p
	}
	return 0
}
