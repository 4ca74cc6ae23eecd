package supply

import "slices"

// Method is a way to set the size of orders.
type Method string

// The methods. That of an item for which none is set is OneByOne.
const (
	OneByOne     Method = "lot-for-lot"   // each week what it lacks
	ByPeriod     Method = "period"        // what a number of weeks lacks
	ByEOQ        Method = "eoq"           // the economic quantity, or as many times it as a week lacks
	BySilverMeal Method = "silver-meal"   // as many weeks as cost least a week
	ByLeastCost  Method = "wagner-whitin" // what costs least over all weeks of the plan
	ByLevels     Method = "s-S"           // at or below one level, up to another
	ByQuantity   Method = "r-Q"           // at or below a level, a fixed quantity
	ByJob        Method = "newsvendor"    // once, for what is of no use after the plan
)

// Methods returns all methods.
func Methods() []Method {
	return []Method{OneByOne, ByPeriod, ByEOQ, BySilverMeal, ByLeastCost, ByLevels, ByQuantity, ByJob}
}

// Policy is how an item is bought. Money is in one currency, days are of the
// calendar, quantities are pieces. Its zero value buys what is lacking, piece
// by piece, and knows no date to order by.
type Policy struct {
	Method Method

	LeadDays    int     // from the order to the delivery; zero: not known
	LeadSpread  float64 // days, standard deviation
	ReleaseDays int     // from the delivery until QA lets it go out
	Service     float64 // part of lead times without a shortage; zero: no safety stock

	OrderCost float64 // of placing one order
	Hold      float64 // of keeping a piece for a year, as a part of its price
	Over      float64 // of a piece too many, by newsvendor
	Under     float64 // of a piece too few, by newsvendor

	Weeks    int   // that one order covers, by period
	At       int64 // level at or below which to order, by levels or by quantity
	UpTo     int64 // level to fill up to, by levels
	Quantity int64 // to order at a time, by quantity

	Pack       int64   // pieces in a package; zero: not known, pieces are ordered
	Minimum    int64   // pieces that an order must have
	Breaks     []Break // prices of a piece; none: not known
	ShelfWeeks int     // for which a delivery may be used; zero: no limit known
}

// toHand is the days from an order to rods that may go out.
func (p Policy) toHand() int { return p.LeadDays + p.ReleaseDays }

// holdWeek is what keeping one piece for a week costs.
func (p Policy) holdWeek(price float64) float64 { return p.Hold * price / weeksOfYear }

const weeksOfYear = 52

// basePrice is the price of a piece in the smallest order; zero: not known.
func (p Policy) basePrice() float64 {
	if len(p.Breaks) == 0 {
		return 0
	}
	return p.Breaks[0].Price
}

// packs rounds pieces up to the least order and to whole packages.
func (p Policy) packs(pieces int64) int64 { return roundUp(max(pieces, p.Minimum), p.Pack) }

// Weighed reports whether a method weighs the cost of orders against that of
// keeping stock, so that a policy must name both and a price.
func (m Method) Weighed() bool {
	return slices.Contains([]Method{ByEOQ, BySilverMeal, ByLeastCost}, m)
}
