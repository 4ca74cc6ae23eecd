package supply

import "math"

// EOQ is an economic order quantity with what it costs a year, the goods
// themselves left out.
type EOQ struct {
	Quantity float64
	Cost     float64
	Short    float64 // the most pieces that are owed; zero where none may be
}

// Economic returns the order quantity that costs least where a year's use comes
// evenly: sqrt(2KD/h), of the cost of an order K, the use D and the cost h of
// keeping one piece for a year.
func Economic(order, hold, use float64) EOQ {
	return EOQ{Quantity: math.Sqrt(2 * order * use / hold), Cost: math.Sqrt(2 * order * use * hold)}
}

// EconomicOwing is Economic where pieces may be owed at a cost for one piece and
// year.
func EconomicOwing(order, hold, owe, use float64) EOQ {
	e, more := Economic(order, hold, use), math.Sqrt((hold+owe)/owe)
	return EOQ{Quantity: e.Quantity * more, Cost: e.Cost / more, Short: e.Quantity * more * hold / (hold + owe)}
}

// Break is a price that holds for all pieces of an order from a quantity on.
type Break struct {
	From  int64
	Price float64 // of one piece
}

// PriceAt returns the price of one piece in an order: that of the last break
// which it reaches, zero where it reaches none. The breaks go up.
func PriceAt(breaks []Break, quantity int64) float64 {
	price := 0.0
	for _, b := range breaks {
		if b.From <= quantity {
			price = b.Price
		}
	}
	return price
}

// EconomicDiscount returns the quantity that costs least in a year, the goods
// included, where the price of all pieces falls with the quantity, and keeping
// costs a part of the price a year.
func EconomicDiscount(order, rate, use float64, breaks []Break) EOQ {
	var best EOQ
	for i, b := range breaks {
		q := max(Economic(order, rate*b.Price, use).Quantity, float64(b.From))
		if i+1 < len(breaks) && q >= float64(breaks[i+1].From) {
			continue // a better price holds for it
		}
		cost := b.Price*use + order*use/q + rate*b.Price*q/2
		if best.Quantity == 0 || cost < best.Cost {
			best = EOQ{Quantity: q, Cost: cost}
		}
	}
	return best
}
