package app

import (
	"ovenward/inventory"
	"ovenward/inventory/stockdb"
)

// insider is a bundle in a place.
type insider struct {
	inventory.Bundle
	Lot  inventory.Lot
	Stay inventory.Stay
}

// inside returns what is in a place at the view's instant.
func (v *view) inside(p inventory.Place) ([]insider, error) {
	stays, err := stockdb.Inside(v.ctx, v.tx, v.site, p, v.at)
	if err != nil {
		return nil, err
	}
	list := make([]insider, len(stays))
	for i, s := range stays {
		b, err := stockdb.Bundle(v.ctx, v.tx, v.site, s.Bundle)
		if err != nil {
			return nil, err
		}
		l, err := v.lot(b.Lot)
		if err != nil {
			return nil, err
		}
		list[i] = insider{Bundle: b, Lot: l, Stay: s.Stay}
	}
	return list, nil
}

func codesInside(all []insider) []string {
	out := make([]string, len(all))
	for i, b := range all {
		out[i] = b.Code
	}
	return out
}
