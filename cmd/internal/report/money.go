package report

import (
	"maps"
	"slices"
	"strings"

	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// prices are what the receipts say a rod or a kilogram of each lot cost.
type prices map[string]inventory.Price

// prices reads the receipts: the newest one of a lot that gives a price counts.
func (m *maker) prices() (prices, error) {
	receipts, err := m.app.Happened(m.ctx, 0, 0, "receive")
	p := prices{}
	for _, f := range receipts {
		e := f.Entry.(*inventory.Received)
		if price, err := inventory.ParsePrice(e.Price); err == nil {
			p[e.Lot] = price
		}
	}
	return p, err
}

// sums are amounts of money by currency.
type sums map[string]int64

// cost is what pieces or a mass of a lot cost, and is added to the sums.
func (p prices) cost(lot string, pieces int64, weighed measure.Mass, into sums) Cell {
	price, ok := p[lot]
	if !ok {
		into[""] += max(pieces, min(1, int64(weighed)))
		return Blank("price not known")
	}
	of := price.Of(pieces, weighed)
	into[price.Currency] += of
	return money(inventory.MoneyText(of, price.Currency))
}

// String prints the sums, and says where no price is known.
func (s sums) String() string {
	var parts []string
	for _, currency := range slices.Sorted(maps.Keys(s)) {
		if currency != "" {
			parts = append(parts, inventory.MoneyText(s[currency], currency))
		}
	}
	text := strings.Join(parts, " and ")
	switch {
	case text == "" && s[""] == 0:
		return "nothing"
	case text == "":
		return "not known: no receipt of these lots gives a price (ovenward receive --price)"
	case s[""] > 0:
		return text + ", and for some lots the price is not known"
	}
	return text
}
