// Package metal turns volumes of weld metal into deposited mass, pieces and
// purchased mass of the items that the crib issues.
//
// The figures stand in tables, each row with its source and status. Densities
// keep the unit of their source and efficiencies their basis. The tables that
// come with the package are defaults to be overridden by the shop's own rows,
// and rows with status "memory" are to be confirmed first.
package metal

import (
	"fmt"
	"maps"
	"slices"

	"ovenward/forecast/joint"
	"ovenward/inventory/measure"
)

// Row is one row of a table, as text for people.
type Row struct {
	Table  string // "density", "rod", "efficiency", "rate" and so on, as in the file
	Key    string // the class, the diameter or both
	Value  string
	Source string
	Status joint.Status
}

// Catalogue is the tables. It is not changed after it was made, so it may be
// read by several goroutines.
type Catalogue struct {
	density    map[key]figure[Density]
	rod        map[key]figure[rodSize]
	efficiency map[key]figure[Efficiency]
	coating    map[key]figure[float64]
	bead       map[key]figure[bead]
	piece      map[key]figure[measure.Mass]
	rate       map[key]figure[arcRate]
	factor     map[key]figure[Factor]  // of a process
	position   map[key]figure[Factor]  // of a position
	labour     map[key]figure[float64] // of a process, money an hour
	price      map[key]figure[float64] // money a gram
	flux       map[key]figure[float64] // kilograms for a kilogram of wire
}

func newCatalogue() *Catalogue {
	return &Catalogue{
		density:    make(map[key]figure[Density]),
		rod:        make(map[key]figure[rodSize]),
		efficiency: make(map[key]figure[Efficiency]),
		coating:    make(map[key]figure[float64]),
		bead:       make(map[key]figure[bead]),
		piece:      make(map[key]figure[measure.Mass]),
		rate:       make(map[key]figure[arcRate]),
		factor:     make(map[key]figure[Factor]),
		position:   make(map[key]figure[Factor]),
		labour:     make(map[key]figure[float64]),
		price:      make(map[key]figure[float64]),
		flux:       make(map[key]figure[float64]),
	}
}

// Over returns the catalogue with another's rows laid over it: where both have
// a row for the same class and diameter, the other's counts.
func (c *Catalogue) Over(o *Catalogue) *Catalogue {
	return &Catalogue{
		density:    over(c.density, o.density),
		rod:        over(c.rod, o.rod),
		efficiency: over(c.efficiency, o.efficiency),
		coating:    over(c.coating, o.coating),
		bead:       over(c.bead, o.bead),
		piece:      over(c.piece, o.piece),
		rate:       over(c.rate, o.rate),
		factor:     over(c.factor, o.factor),
		position:   over(c.position, o.position),
		labour:     over(c.labour, o.labour),
		price:      over(c.price, o.price),
		flux:       over(c.flux, o.flux),
	}
}

// Weigh returns the catalogue with the mass of one piece of an item as found on
// receipt: net weight over pieces. The source says which receipts.
func (c *Catalogue) Weigh(i joint.Item, piece measure.Mass, source string) *Catalogue {
	o := newCatalogue()
	k := key{FoldClass(i.Class), i.Diameter}
	o.piece[k] = figure[measure.Mass]{piece, Row{"piece", i.String(), piece.String(), source, joint.Shop}}
	return c.Over(o)
}

// Rod draws together what the tables know of an item. The diameter is the
// nearest of the class's rods within 0.1 mm, so that 3.2 mm finds 1/8 in, and
// the rod's Item carries the table's diameter. The error is an
// *joint.UncomputedError that names the missing row.
//
// A piece of wire or of a process is one gram.
func (c *Catalogue) Rod(i joint.Item) (Rod, error) {
	class := FoldClass(i.Class)
	if ByMass(class) {
		return c.wire(i)
	}
	classes := []string{class, BaseClass(class)}
	size, diameter, ok := find(c.rod, classes, i.Diameter)
	if !ok {
		return Rod{}, unknown(i, "no rod of this class and diameter in the tables, which have "+c.has(classes))
	}
	r := Rod{
		Item: joint.Item{Class: class, Diameter: diameter},
		Core: size.value.core, Length: size.value.length, Stub: size.value.stub,
		Rows: []Row{size.row},
	}
	if !take(c.density, classes, 0, &r.Rows, &r.Density) {
		return Rod{}, unknown(i, "no density row")
	}
	if !take(c.efficiency, classes, diameter, &r.Rows, &r.Efficiency) {
		return Rod{}, unknown(i, "no efficiency row")
	}
	take(c.coating, classes, 0, &r.Rows, &r.Coating)
	take(c.piece, classes, diameter, &r.Rows, &r.Weighed)
	var b bead
	take(c.bead, append(classes, ""), diameter, &r.Rows, &b)
	r.BeadArea, r.RunOut = b.area, b.runOut
	if err := r.check(); err != nil {
		return Rod{}, unknown(i, err.Error())
	}
	return r, nil
}

// Items returns the items that have a rod row, by class and diameter.
func (c *Catalogue) Items() []joint.Item {
	items := make([]joint.Item, 0, len(c.rod))
	for k := range c.rod {
		items = append(items, joint.Item{Class: k.class, Diameter: k.diameter})
	}
	slices.SortFunc(items, joint.Item.Compare)
	return items
}

// has lists the diameters of the classes, or the classes if it has none of them.
func (c *Catalogue) has(classes []string) string {
	var sizes []measure.Length
	all := make(map[string]bool)
	for k := range c.rod {
		all[k.class] = true
		if slices.Contains(classes, k.class) {
			sizes = append(sizes, k.diameter)
		}
	}
	if len(sizes) == 0 {
		return fmt.Sprintf("the classes %q", slices.Sorted(maps.Keys(all)))
	}
	slices.Sort(sizes)
	text := make([]string, len(sizes))
	for i, s := range sizes {
		text[i] = joint.SizeText(s)
	}
	return fmt.Sprintf("the diameters %q", slices.Compact(text))
}

func unknown(i joint.Item, why string) error {
	return &joint.UncomputedError{
		Reason: joint.UnknownItem, Field: "item", Value: i.String(), Why: why,
		Write: "an item of the tables, or add its rows to the shop's own",
	}
}
