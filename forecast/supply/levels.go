package supply

import (
	"errors"
	"math"
	"slices"
)

// StockCosts are what stock levels are weighed by.
type StockCosts struct {
	Order float64 // of placing one order
	Hold  float64 // of one piece for one period
	Short float64 // of one piece owed for one period
}

// ErrNoUse is returned for chances in which nothing is ever taken: no level is
// better than another.
var ErrNoUse = errors.New("nothing is ever taken; set the levels by hand")

// Levels are two stock levels: at or below At an order is placed.
type Levels struct {
	At   int64 // s
	UpTo int64 // S, which the order fills up to
	Cost float64
}

// BestLevels returns the levels (s,S) that cost least a period where stock is
// looked at once a period and an order comes at once (Zheng and Federgruen
// 1991). The error is ErrNoUse.
func BestLevels(c StockCosts, use Chances) (Levels, error) {
	r, err := newRenewal(c, use)
	if err != nil {
		return Levels{}, err
	}
	low := r.cheapest()
	l := Levels{At: low - 1, UpTo: low}
	for r.cost(l.At, low) > r.wait(l.At) {
		l.At--
	}
	l.Cost = r.cost(l.At, low)
	for s := low + 1; r.wait(s) <= l.Cost; s++ {
		if r.cost(l.At, s) >= l.Cost {
			continue
		}
		l.UpTo = s
		for r.cost(l.At, s) <= r.wait(l.At+1) {
			l.At++
		}
		l.Cost = r.cost(l.At, s)
	}
	return l, nil
}

// CostOf returns what levels cost a period. The error is ErrNoUse.
func CostOf(c StockCosts, use Chances, at, upTo int64) (float64, error) {
	r, err := newRenewal(c, use)
	if err != nil {
		return 0, err
	}
	return r.cost(at, upTo), nil
}

// renewal knows how often the stock stands at each level between two orders.
type renewal struct {
	costs StockCosts
	use   Chances
	often []float64 // periods spent j pieces below the level filled up to
	waits map[int64]float64
}

func newRenewal(c StockCosts, use Chances) (*renewal, error) {
	if len(use) == 0 || use[0] >= 1 {
		return nil, ErrNoUse
	}
	return &renewal{costs: c, use: use, often: []float64{1 / (1 - use[0])}, waits: map[int64]float64{}}, nil
}

// cost is (K + sum m(j) G(S-j)) / M(S-s).
func (r *renewal) cost(at, upTo int64) float64 {
	cost, periods := r.costs.Order, 0.0
	for j := range int(upTo - at) {
		m := r.spent(j)
		cost += m * r.wait(upTo-int64(j))
		periods += m
	}
	return cost / periods
}

// spent is m(j), by m(j) = sum over l of P(use = l) m(j-l).
func (r *renewal) spent(j int) float64 {
	for k := len(r.often); k <= j; k++ {
		sum := 0.0
		for l := 1; l <= min(k, len(r.use)-1); l++ {
			sum += r.use[l] * r.often[k-l]
		}
		r.often = append(r.often, sum/(1-r.use[0]))
	}
	return r.often[j]
}

// wait is G(y): what a period costs that begins with y pieces.
func (r *renewal) wait(y int64) float64 {
	w, known := r.waits[y]
	if !known {
		w = r.use.cost(y, r.costs.Hold, r.costs.Short)
		r.waits[y] = w
	}
	return w
}

// cheapest is the y with the least G.
func (r *renewal) cheapest() int64 {
	y, _ := Newsvendor{Over: r.costs.Hold, Under: r.costs.Short}.Discrete(r.use)
	return y
}

// Reorder is a fixed order quantity with the stock at or below which it is
// placed.
type Reorder struct {
	At       float64 // r
	Quantity float64 // Q
	Cost     float64 // a year, without the goods; zero where it is not computed
}

// ReorderByService takes the economic quantity, and orders at the newsvendor's
// stock for the lead time. Use is a year's, and its spread; the lead time is in
// years.
func ReorderByService(c StockCosts, l Lead) Reorder {
	at, _ := Newsvendor{Over: c.Hold, Under: c.Short}.Normal(l.Use*l.Time, l.SafetyAt(1))
	return Reorder{At: at, Quantity: Economic(c.Order, c.Hold, l.Use).Quantity}
}

// ReorderByLevel weighs the quantity and the level against each other, with
// Short the cost of each piece that is not there, however long: the expected
// inventory level approximation (Hadley and Whitin 1963).
func ReorderByLevel(c StockCosts, l Lead) Reorder {
	const (
		rounds = 1000
		close  = 1e-10
	)
	spread := l.SafetyAt(1)
	r := Reorder{Quantity: Economic(c.Order, c.Hold, l.Use).Quantity}
	short := 0.0
	for range rounds {
		z := NormalQuantile(1 - min(1, c.Hold*r.Quantity/(c.Short*l.Use)))
		r.At, short = l.Use*l.Time+z*spread, spread*normalLoss(z)
		before := r.Quantity
		r.Quantity = math.Sqrt(2 * l.Use * (c.Order + c.Short*short) / c.Hold)
		if math.Abs(r.Quantity-before) < close*before {
			break
		}
	}
	r.Cost = c.Hold*(r.At-l.Use*l.Time+r.Quantity/2) + (c.Order+c.Short*short)*l.Use/r.Quantity
	return r
}

// ReorderExactly returns the level and quantity that cost least a year where
// pieces are asked for one by one at random; c.Hold and c.Short are for a year,
// use is how many in a year, and inLead the chances of the use in a lead time
// (Federgruen and Zheng 1992).
func ReorderExactly(c StockCosts, use float64, inLead Chances) Reorder {
	wait := func(y int64) float64 { return inLead.cost(y, c.Hold, c.Short) }
	low, _ := Newsvendor{Over: c.Hold, Under: c.Short}.Discrete(inLead)
	first, last := low, low
	sum := c.Order*use + wait(low)
	for {
		cost := sum / float64(last-first+1)
		below, above := wait(first-1), wait(last+1)
		switch next := slices.Min([]float64{below, above}); {
		case next >= cost:
			return Reorder{At: float64(first - 1), Quantity: float64(last - first + 1), Cost: cost}
		case below <= above:
			first, sum = first-1, sum+below
		default:
			last, sum = last+1, sum+above
		}
	}
}
