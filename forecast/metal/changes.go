package metal

import "slices"

// Change is a row with the one that it replaces.
type Change struct {
	Row
	Was Row // the zero Row where it is new
}

// Changes returns what another catalogue's rows change when they are laid over
// this one.
func (c *Catalogue) Changes(o *Catalogue) []Change {
	return slices.Concat(changed(c.density, o.density), changed(c.rod, o.rod), changed(c.efficiency, o.efficiency),
		changed(c.coating, o.coating), changed(c.piece, o.piece), changed(c.bead, o.bead), changed(c.rate, o.rate),
		changed(c.factor, o.factor), changed(c.position, o.position), changed(c.labour, o.labour), changed(c.price, o.price), changed(c.flux, o.flux))
}

func changed[T any](under, above map[key]figure[T]) []Change {
	var all []Change
	for _, k := range keysOf(above) {
		ch := Change{Row: above[k].row}
		if old, known := nearest(under, k); known {
			ch.Was = under[old].row
		}
		all = append(all, ch)
	}
	return all
}
