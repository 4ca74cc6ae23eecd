package app

import (
	"ovenward/forecast/joint"
	"ovenward/inventory"
)

// ServedItem returns the item of a list that rods of a lot may go out for; false
// where they serve none of them.
func ServedItem(items []joint.Item, l inventory.Lot) (joint.Item, bool) {
	for _, i := range items {
		if newWanted(i).servedBy(l) {
			return i, true
		}
	}
	return joint.Item{}, false
}
