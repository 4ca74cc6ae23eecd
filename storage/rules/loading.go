package rules

import (
	"fmt"

	"ovenward/inventory"
)

// LoadingRow limits how many layers of rods lie on each other in a kind of
// place. Makers print three, four, five and six, and no code read says any: the
// row is the maker's or the shop's own.
type LoadingRow struct {
	Meta
	Match
	Places    []inventory.PlaceKind `toml:"places"`
	MaxLayers int64                 `toml:"max_layers"`
}

// Layers returns the row that limits the layers of stock in a kind of place the
// most, or nil.
func (s *Set) Layers(sub Subject, kind inventory.PlaceKind) *LoadingRow {
	var best *LoadingRow
	for i := range s.Loading {
		row := &s.Loading[i]
		if row.Matches(sub) && among(row.Places, kind) && (best == nil || row.MaxLayers < best.MaxLayers) {
			best = row
		}
	}
	return best
}

func (r LoadingRow) says() string {
	return fmt.Sprintf("at most %d layers in a %s", r.MaxLayers, kinds(r.Places))
}
