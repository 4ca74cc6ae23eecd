package supply

// Costs are what lot sizes are weighed by. Both are in one currency.
type Costs struct {
	Order float64   // of placing one order
	Hold  float64   // of one piece kept from one period into the next
	In    []float64 // of placing an order in each period, where it is not Order in all
	Reach int       // most periods that one lot may cover, for what goes out of date; zero: no limit
}

// order returns what an order in a period costs.
func (c Costs) order(period int) float64 {
	if period < len(c.In) {
		return c.In[period]
	}
	return c.Order
}

// end returns the period behind the last one that a lot of a period may cover.
func (c Costs) end(period, periods int) int {
	if c.Reach > 0 {
		return min(periods, period+c.Reach)
	}
	return periods
}

// Of returns what lots cost: their orders, and what is left at the end of each
// period. Lots that come too late cost nothing for that here.
func (c Costs) Of(needs, lots []int64) float64 {
	cost, left := 0.0, int64(0)
	for t, need := range needs {
		if lots[t] > 0 {
			cost += c.order(t)
		}
		left += lots[t] - need
		cost += c.Hold * float64(max(0, left))
	}
	return cost
}

// LotForLot orders in each period what it needs.
func LotForLot(needs []int64) []int64 {
	lots := make([]int64, len(needs))
	for t, need := range needs {
		lots[t] = max(0, need)
	}
	return lots
}

// PeriodLots orders at a time what a number of periods needs, from the first
// that needs anything. A number below 1 is taken for 1.
func PeriodLots(needs []int64, periods int) []int64 {
	lots := make([]int64, len(needs))
	for t := 0; t < len(needs); {
		if needs[t] <= 0 {
			t++
			continue
		}
		end := min(len(needs), t+max(1, periods))
		lots[t] = total(needs[t:end])
		t = end
	}
	return lots
}

// Multiples orders a quantity, or as many times it as a period lacks. A
// quantity below 1 is taken for 1.
func Multiples(needs []int64, quantity int64) []int64 {
	lots := make([]int64, len(needs))
	quantity = max(1, quantity)
	left := int64(0)
	for t, need := range needs {
		if left -= need; left < 0 {
			lots[t] = roundUp(-left, quantity)
			left += lots[t]
		}
	}
	return lots
}

// AverageCosts returns what a lot costs a period, by how many of the periods it
// covers: one, two and so on. It is the figure that Silver and Meal look at.
func AverageCosts(needs []int64, c Costs) []float64 {
	averages := make([]float64, c.end(0, len(needs)))
	cost := c.order(0)
	for k := range averages {
		cost += c.Hold * float64(k) * float64(needs[k])
		averages[k] = cost / float64(k+1)
	}
	return averages
}

// SilverMeal lets a lot cover one period more as long as that does not raise
// its cost a period (Silver and Meal 1973).
func SilverMeal(needs []int64, c Costs) []int64 {
	lots := make([]int64, len(needs))
	for t := 0; t < len(needs); {
		if needs[t] <= 0 {
			t++
			continue
		}
		rest := c
		rest.Order, rest.In = c.order(t), nil
		averages, covers := AverageCosts(needs[t:], rest), 1
		for covers < len(averages) && averages[covers] <= averages[covers-1] {
			covers++
		}
		lots[t] = total(needs[t : t+covers])
		t += covers
	}
	return lots
}

// WagnerWhitin returns the lots that cost least of all, and what the rest costs
// from each period on (Wagner and Whitin 1958). Of plans that cost the same it
// takes the one whose lots cover less.
func WagnerWhitin(needs []int64, c Costs) (lots []int64, rest []float64) {
	n := len(needs)
	rest = make([]float64, n+1)
	covers := make([]int, n) // periods that the lot of a period covers; zero: no lot
	for t := n - 1; t >= 0; t-- {
		rest[t] = -1
		if needs[t] <= 0 {
			rest[t] = rest[t+1]
		}
		cost := c.order(t)
		for end := t; end < c.end(t, n); end++ {
			cost += c.Hold * float64(end-t) * float64(max(0, needs[end]))
			if sum := cost + rest[end+1]; rest[t] < 0 || sum < rest[t] {
				rest[t], covers[t] = sum, end-t+1
			}
		}
	}
	lots = make([]int64, n)
	for t := 0; t < n; t += max(1, covers[t]) {
		lots[t] = total(needs[t : t+covers[t]])
	}
	return lots, rest[:n]
}

// total adds up what is above zero.
func total(needs []int64) (sum int64) {
	for _, n := range needs {
		sum += max(0, n)
	}
	return sum
}

// roundUp returns the least multiple of step that is not below n.
func roundUp(n, step int64) int64 {
	if step <= 1 {
		return n
	}
	return (n + step - 1) / step * step
}
