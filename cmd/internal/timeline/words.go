package timeline

import "ovenward/inventory"

// inTradeWords lets a paper log use the words of the trade for what the
// program calls by one name only, and leave out why something was held.
func inTradeWords(e inventory.Entry) {
	switch e := e.(type) {
	case *inventory.Received:
		if p, ok := packages[e.Package]; ok {
			e.Package = string(p)
		}
	case *inventory.PlaceSet:
		if e.SortKind == "portable oven" {
			e.SortKind = string(inventory.Quiver)
		}
	case *inventory.HeldBack:
		if e.Why == "" {
			e.Why = "no reason in the log"
		}
	}
}

var packages = map[string]inventory.Package{
	"can":          inventory.HermeticCan,
	"sealed can":   inventory.HermeticCan,
	"metal can":    inventory.HermeticCan,
	"vacuum":       inventory.VacuumPack,
	"box":          inventory.Carton,
	"board box":    inventory.Carton,
	"board carton": inventory.Carton,
	"cardboard":    inventory.Carton,
}
