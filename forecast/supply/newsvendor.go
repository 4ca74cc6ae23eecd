package supply

// Newsvendor is a stock for one period only: the one quantity for a job after
// which the rods are of no use.
type Newsvendor struct {
	Over  float64 // cost of a piece too many
	Under float64 // cost of a piece too few
}

// Service is the part of cases in which nothing should be short: under by under
// and over.
func (n Newsvendor) Service() float64 { return n.Under / (n.Under + n.Over) }

// Normal returns the stock that costs least on average, and that cost, where
// use is normal.
func (n Newsvendor) Normal(mean, spread float64) (stock, cost float64) {
	z := NormalQuantile(n.Service())
	return mean + z*spread, (n.Under + n.Over) * spread * normalDensity(z)
}

// Discrete returns the stock that costs least on average, and that cost, where
// the use is so many pieces with these chances.
func (n Newsvendor) Discrete(c Chances) (stock int64, cost float64) {
	below := 0.0
	for k, p := range c {
		if below += p; below >= n.Service() {
			return int64(k), c.cost(int64(k), n.Over, n.Under)
		}
	}
	last := int64(len(c) - 1)
	return last, c.cost(last, n.Over, n.Under)
}
