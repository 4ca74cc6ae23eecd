package inventory

import (
	"fmt"

	"ovenward/inventory/designation"
)

// Noun is what the lot's stock is called: "rods", "wire" or "flux".
func (l Lot) Noun() string {
	switch {
	case l.Counted():
		return "rods"
	case l.Mark.Family == designation.SAWFlux:
		return "flux"
	}
	return "wire"
}

// Rods is a number of rods in words: "1 rod", "40 rods".
func Rods(n int64) string {
	if n == 1 {
		return "1 rod"
	}
	return fmt.Sprintf("%d rods", n)
}
