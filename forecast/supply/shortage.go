package supply

import (
	"cmp"
	"slices"

	"ovenward/inventory/measure"
)

// Shortage is an item that the stock does not cover.
type Shortage struct {
	Want
	First measure.Week // the first week that the stock does not cover
	Short int64        // pieces that the first week lacks
	Last  measure.Week // the last week that the stock does not cover
	Total int64        // pieces that all weeks lack
}

// Shortages returns the items that run short, the soonest first.
func Shortages(balances []Balance) []Shortage {
	found := map[Want]int{}
	var list []Shortage
	for _, b := range balances {
		if b.Short == 0 {
			continue
		}
		i, known := found[b.Want]
		if !known {
			i = len(list)
			found[b.Want] = i
			list = append(list, Shortage{Want: b.Want, First: b.Week, Short: b.Short})
		}
		list[i].Last = b.Week
		list[i].Total += b.Short
	}
	slices.SortFunc(list, func(a, b Shortage) int {
		return cmp.Or(cmp.Compare(a.First.Year, b.First.Year), cmp.Compare(a.First.Number, b.First.Number),
			a.Want.Compare(b.Want))
	})
	return list
}
