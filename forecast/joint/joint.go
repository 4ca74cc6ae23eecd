// Package joint holds planned joints: how they are prepared, and by exact
// geometry how much weld metal they take.
//
// Every section is a few simple parts, each with an area and a height of its
// centroid above the root. A straight weld is area times length; a weld around
// a pipe is each part carried round its own centroid (Pappus), so that the wide
// end of a V, which lies on the larger radius, is not counted short.
//
// What cannot be computed is an *UncomputedError that says why. Nothing is
// guessed and nothing is dropped.
package joint

import (
	"cmp"
	"fmt"

	"ovenward/inventory/measure"
)

// Joint is one line of a plan: a number of equal welds of one job.
type Joint struct {
	Job         string
	ID          string
	Week        measure.Week // in which welding starts
	Preparation Preparation
	Sizes       Sizes
	Quantity    int64  // equal welds, 1 or more
	Passes      []Pass // the pass split, in order of welding
	Position    Position
}

// Item is what the crib issues: a class and a nominal diameter. A flux has none.
type Item struct {
	Class    string
	Diameter measure.Length
}

// String prints the item as a storekeeper asks for it: "E7018 1/8 in".
func (i Item) String() string {
	if i.Diameter == 0 {
		return i.Class
	}
	return i.Class + " " + i.Size()
}

// Size prints the diameter; empty for a flux.
func (i Item) Size() string {
	if i.Diameter == 0 {
		return ""
	}
	return SizeText(i.Diameter)
}

// Compare orders items by class and then by diameter.
func (i Item) Compare(o Item) int {
	return cmp.Or(cmp.Compare(i.Class, o.Class), cmp.Compare(i.Diameter, o.Diameter))
}

// thinWire is the diameter below which wire is marked in thousandths of an inch.
const thinWire = 2 * measure.Millimetre

// SizeText prints a size as the trade marks it: a fraction of an inch where it
// is one exactly, thin wire in thousandths, otherwise millimetres.
func SizeText(l measure.Length) string {
	if l < 0 {
		return "-" + SizeText(-l)
	}
	const sixtyFourth = measure.Length(measure.Inch) / 64
	if l > 0 && l%sixtyFourth == 0 {
		return l.InchString()
	}
	if thousandth := measure.Length(measure.Inch) / 1000; l < thinWire && l%thousandth == 0 && l%(measure.Millimetre/10) != 0 {
		return fmt.Sprintf("0.%03d in", l/thousandth)
	}
	return l.String()
}

// Pass says how much of a joint one item fills. One of Share, Beads and Layers
// may be set; a pass with none takes what the others leave.
type Pass struct {
	Item   Item
	Share  float64 // part of the weld metal, above 0 and at most 1
	Beads  int64   // beads, counted along the whole weld
	Layers int64   // layers of the groove, counted from the root in the order of the passes

	Flux       string  // that goes with the wire of submerged arc; empty: none
	FluxRatio  float64 // mass of flux over mass of wire; zero: by the tables
	Efficiency float64 // of the wire, as the plan states it; zero: by the tables
}

// Rest reports whether the pass takes what the others leave.
func (p Pass) Rest() bool { return p.Share == 0 && p.Beads == 0 && p.Layers == 0 }
