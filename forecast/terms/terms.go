// Package terms reads what a buyer sets: suppliers with their lead times, how
// each item is packed, priced, sized and asked for, and what is on order.
//
// It is one TOML file, as rule sets are: prices that fall with the quantity and
// defaults that items share have a place in it, which the columns of a sheet do
// not give them, and every line may carry a comment. A key that is not known is
// an error.
package terms

import (
	"slices"

	"ovenward/forecast/joint"
	"ovenward/forecast/metal"
	"ovenward/forecast/supply"
	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// Terms is what a file holds.
type Terms struct {
	Currency  string // of all prices; empty where there is none
	Suppliers []Supplier
	Items     []Item
	Expected  []Expected
}

// Supplier is who delivers.
type Supplier struct {
	Name        string
	LeadDays    int     // from the order to the delivery
	LeadSpread  float64 // days, standard deviation
	ReleaseDays int     // from the delivery until QA lets it go out
	OrderCost   float64 // of placing one order
}

// Item is how one class and size is bought.
type Item struct {
	joint.Item
	Supplier Supplier
	Ask      Ask
	Policy   supply.Policy // without what Resolve adds
	Varies   float64       // standard deviation of a week's need, as a part of it; zero: not set

	pack, minimum, at, upTo, quantity Amount
	prices                            []price
}

// Ask is what an order line asks for beside class, size and quantity, in the
// words of the procurement guideline (AWS A5.01, ISO 14344).
type Ask struct {
	Specification string // empty: that of the class
	Length        measure.Length
	Package       inventory.Package
	LotClass      string // C1 to C5, S1 to S5, T1 to T4, F1, F2; empty: not stated
	Schedule      string // 1 to 6 or F to K; empty: not stated
	Tests         string // what schedule 6 or K asks for
	Certificate   inventory.PaperKind
	Actual        bool // results of the lot itself
	Product       string
}

// Expected is a delivery that is on order.
type Expected struct {
	joint.Item
	Order    string
	Supplier string
	Quantity Amount
	Due      measure.Date // of the delivery
	Ask      Ask          // what its papers will show
}

// price is a price of one unit from a quantity on.
type price struct {
	from  Amount
	money inventory.Price
	per   Unit
}

// For returns how an item is bought; false where the file does not say.
func (t Terms) For(i joint.Item) (Item, bool) {
	at := slices.IndexFunc(t.Items, func(o Item) bool { return same(o.Item, i) })
	if at < 0 {
		return Item{}, false
	}
	return t.Items[at], true
}

// same reports whether two items are one of the crib's: 3.2 mm is 1/8 in.
func same(a, b joint.Item) bool {
	return metal.FoldClass(a.Class) == metal.FoldClass(b.Class) && a.Diameter.Near(b.Diameter)
}

// Resolve turns packages and masses into pieces, by what one piece weighs; zero
// is not known. What cannot be turned is left out of the policy and said.
func (i Item) Resolve(piece measure.Mass) (p supply.Policy, notes []string) {
	p = i.Policy
	var faults []string
	pieces := func(name string, a Amount) int64 {
		if a.Value == 0 {
			return 0
		}
		n, err := a.Pieces(p.Pack, piece)
		if err != nil {
			faults = append(faults, name+" "+a.String()+": "+err.Error())
		}
		return n
	}
	p.Pack = pieces("pack", i.pack)
	p.Minimum, p.At, p.UpTo, p.Quantity = pieces("minimum", i.minimum), pieces("at", i.at), pieces("up_to", i.upTo), pieces("quantity", i.quantity)
	for _, b := range i.prices {
		each, err := b.each(p.Pack, piece)
		if err != nil {
			faults = append(faults, "price: "+err.Error())
			p.Breaks = nil
			break
		}
		p.Breaks = append(p.Breaks, supply.Break{From: pieces("from", b.from), Price: each})
	}
	if len(faults) > 0 && (p.Method.Weighed() || p.Method == supply.ByLevels || p.Method == supply.ByQuantity) {
		p.Method = supply.OneByOne
		faults = append(faults, "so it is bought lot for lot")
	}
	return p, faults
}

// each is the price of one piece.
func (b price) each(pack int64, piece measure.Mass) (float64, error) {
	unit, err := Amount{Value: 1, Unit: b.per}.float(pack, piece)
	if err != nil {
		return 0, err
	}
	return float64(b.money.Amount) / inventory.PriceUnit / unit, nil
}
