package supply

import "math"

// sizes are the lots before they are rounded, and what the policy's method is
// called with its figures.
func (l Line) sizes() (lots []int64, method string) {
	lots, method = l.asked()
	return l.together(lots), method
}

// together puts what must be ordered today or earlier into one order.
func (l Line) together(lots []int64) []int64 {
	if l.Policy.LeadDays == 0 {
		return lots
	}
	ready, first := l.Today.AddDays(l.Policy.toHand()), -1
	for t, lot := range lots {
		if lot == 0 || l.Weeks[t].Week.Monday() > ready {
			continue
		}
		if first < 0 {
			first = t
			continue
		}
		lots[first], lots[t] = lots[first]+lot, 0
	}
	return lots
}

// asked are the lots by the policy's method, week by week.
func (l Line) asked() (lots []int64, method string) {
	net, p := l.net(), l.Policy
	costs := Costs{Order: p.OrderCost, Hold: p.holdWeek(p.basePrice()), Reach: p.ShelfWeeks}
	switch p.Method {
	case ByPeriod:
		weeks := max(1, p.Weeks)
		if p.ShelfWeeks > 0 {
			weeks = min(weeks, p.ShelfWeeks)
		}
		return PeriodLots(net, weeks), say("%d weeks at a time", weeks)
	case ByEOQ:
		q := l.economic(costs)
		return Multiples(net, q), say("economic quantity %s", l.write(q))
	case BySilverMeal:
		return SilverMeal(net, costs), "silver-meal"
	case ByLeastCost:
		lots, _ := WagnerWhitin(net, costs)
		return lots, "wagner-whitin"
	case ByLevels:
		return l.refill(func(left int64) int64 { return p.UpTo - left }), say("at %s fill up to %s", l.write(p.At), l.write(p.UpTo))
	case ByQuantity:
		q := max(1, p.Quantity)
		return l.refill(func(left int64) int64 { return roundUp(p.At-left+1, q) }), say("at %s order %s", l.write(p.At), l.write(q))
	case ByJob:
		return l.once(net), say("once for the plan, %.0f %% sure to be enough", 100*l.newsvendor().Service())
	default:
		return LotForLot(net), "lot for lot"
	}
}

// economic is the whole economic quantity for the mean use of the plan's weeks.
func (l Line) economic(c Costs) int64 {
	if c.Hold <= 0 {
		return 1
	}
	return max(1, ceil(Economic(c.Order, c.Hold, l.lead().Use).Quantity))
}

// refill orders where the stock after a week, orders included, would be at or
// below the policy's level, as long as the plan needs anything. The level is a
// stock of its own, so that no safety stock is added.
func (l Line) refill(order func(left int64) int64) []int64 {
	lots := make([]int64, len(l.Weeks))
	given, first := int64(0), l.arrives(l.Today)
	for t, left := range l.position() {
		left += given
		if left < 0 || left <= l.Policy.At && t <= l.lastNeed() && t >= first {
			lots[t] = max(order(left), -left)
			given += lots[t]
		}
	}
	return lots
}

func (l Line) newsvendor() Newsvendor { return Newsvendor{Over: l.Policy.Over, Under: l.Policy.Under} }

// once orders everything for the first week that lacks anything, with what the
// spread of the whole plan adds. It never takes off from what is needed: a
// service below one half would order less than the drawings ask for.
func (l Line) once(net []int64) []int64 {
	lots := make([]int64, len(net))
	for t, lack := range net {
		if lack == 0 {
			continue
		}
		lots[t] = total(net) + ceil(l.more())
		break
	}
	return lots
}

// more is by how much the need of the whole plan may exceed what is planned, at
// the newsvendor's service.
func (l Line) more() float64 {
	service := l.newsvendor().Service()
	if l.Draws != nil {
		planned := int64(0)
		for _, w := range l.Weeks {
			planned += w.Pieces
		}
		return max(0, Quantile(l.runs(0, len(l.Weeks)-1), service)-float64(planned))
	}
	square := 0.0
	for _, s := range l.Spread {
		square += s * s
	}
	return max(0, NormalQuantile(service)*math.Sqrt(square))
}
