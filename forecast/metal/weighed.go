package metal

import (
	"fmt"
	"iter"
	"regexp"
	"slices"

	"ovenward/forecast/joint"
	"ovenward/inventory/designation"
	"ovenward/inventory/measure"
)

// Processes whose wire is bought by mass, as a plan may name them where it names
// no class. Their rows serve the wires of classes that have none of their own.
const (
	SAW           = "SAW"
	GMAW          = "GMAW"
	MetalCored    = "METAL-CORED"
	GasCored      = "FCAW-G"
	SelfShielding = "FCAW-S"
)

// Processes returns the processes whose wire a plan may name.
func Processes() []string { return []string{SAW, GMAW, MetalCored, GasCored, SelfShielding} }

// ByMass reports whether a class is bought and counted by mass: wire on spools,
// flux, or the wire of a process. Its needs and stock are in whole grams where
// those of rods are in pieces. Cut lengths of wire are not planned.
func ByMass(class string) bool {
	if slices.Contains(Processes(), FoldClass(class)) {
		return true
	}
	marks := designation.Candidates(class)
	return len(marks) > 0 && slices.Contains([]designation.Family{designation.SolidWire, designation.CoredWire, designation.SAWFlux},
		marks[0].Family)
}

// IsFlux reports whether a class is a flux, which has no diameter.
func IsFlux(class string) bool {
	marks := designation.Candidates(class)
	return len(marks) > 0 && marks[0].Family == designation.SAWFlux
}

// gasMark is the letter of the gas behind a usability number.
var gasMark = regexp.MustCompile(`^(E\d+(?:T-|C-)\d+)[CM]$`)

// classesOf returns the classes whose rows serve one, its own first.
func classesOf(class string) []string {
	if ByMass(class) {
		return wireClasses(class)
	}
	return []string{class, BaseClass(class)}
}

// wireClasses returns the classes whose rows serve a wire, its own first: without
// its marks, without the letter of its gas, those of its specification, and those
// of its process.
func wireClasses(class string) []string {
	list := []string{class, BaseClass(class)}
	if m := gasMark.FindStringSubmatch(list[1]); m != nil {
		list = append(list, m[1])
	}
	marks := designation.Candidates(class)
	if len(marks) == 0 {
		return list
	}
	list = append(list, string(marks[0].Spec))
	if p := processOf(marks[0]); p != "" {
		list = append(list, p)
	}
	return list
}

// processOf returns the process of a wire's class; empty where the class leaves it
// open, as usability G does.
func processOf(m designation.Mark) string {
	usability := m.Fields["usability"]
	switch {
	case m.Spec == designation.A517:
		return SAW
	case m.Family == designation.SolidWire:
		return GMAW
	case m.Spec == designation.A518 || usability == "15" || usability == "16" || usability == "17":
		return MetalCored
	case designation.SelfShielded(m):
		return SelfShielding
	case m.Fields["gas"] != "" || designation.GasShielded(m):
		return GasCored
	}
	return ""
}

// wire draws together what the tables know of a wire. Any diameter is one: a
// spool has no length that would depend on it.
func (c *Catalogue) wire(i joint.Item) (Rod, error) {
	r := Rod{Item: joint.Item{Class: FoldClass(i.Class), Diameter: i.Diameter}, ByMass: true}
	if i.Diameter <= 0 {
		return Rod{}, unknown(i, "no diameter")
	}
	classes := wireClasses(r.Item.Class)
	if !take(c.density, classes, 0, &r.Rows, &r.Density) {
		return Rod{}, unknown(i, "no density row of its class, specification or process")
	}
	if !take(c.efficiency, classes, i.Diameter, &r.Rows, &r.Efficiency) && !take(c.efficiency, classes, 0, &r.Rows, &r.Efficiency) {
		return Rod{}, unknown(i, "no efficiency row of its class or process")
	}
	if r.Efficiency.Basis != Wire {
		return Rod{}, unknown(i, fmt.Sprintf("its efficiency is on %s, and wire has no stub", r.Efficiency.Basis))
	}
	var b bead
	take(c.bead, classes, i.Diameter, &r.Rows, &b)
	r.BeadArea = b.area
	return r, nil
}

// Flux draws together what the tables know of a flux, and returns the kilograms
// that go with a kilogram of wire. A flux's own row counts before the one for all.
func (c *Catalogue) Flux(class string) (Rod, float64, error) {
	class = FoldClass(class)
	r := Rod{Item: joint.Item{Class: class}, ByMass: true}
	ratio := 0.0
	if !take(c.flux, []string{class, BaseClass(class), ""}, 0, &r.Rows, &ratio) {
		return Rod{}, 0, unknown(r.Item, "no row says how much of it goes with the wire")
	}
	return r, ratio, nil
}

// withFlux gives a pass its flux; false where it has none.
func withFlux(p joint.Pass, wire Rod, fluxOf func(string) (Rod, float64, error)) (Flux, bool, error) {
	if p.Flux == "" {
		return Flux{}, false, nil
	}
	if !wire.ByMass {
		return Flux{}, false, &joint.UncomputedError{Reason: joint.BadSplit, Field: "flux", Value: p.Flux,
			Why: wire.Item.String() + " is no wire that goes with flux", Write: "the flux beside the wire of submerged arc only"}
	}
	if !IsFlux(p.Flux) {
		return Flux{}, false, &joint.UncomputedError{Reason: joint.UnknownItem, Field: "flux", Value: p.Flux,
			Why: "not the class of a flux", Write: "flux and wire as classified, such as F7A2-EM12K"}
	}
	rod, ratio, err := fluxOf(p.Flux)
	if p.FluxRatio > 0 {
		ratio = p.FluxRatio
	}
	return Flux{Rod: rod, Ratio: ratio}, true, err
}

// Flux is the flux of one pass.
type Flux struct {
	Rod   Rod
	Ratio float64 // mass of flux over mass of wire
}

// Needs returns what a joint takes of each item, pass by pass and the flux of a
// pass behind its wire, with so much more metal than drawn, 1.05 for 5 % more, and
// with what its position takes.
func (f Filled) Needs(factor float64) iter.Seq2[*Rod, Need] {
	return func(yield func(*Rod, Need) bool) {
		for i := range f.Rods {
			n := f.Rods[i].Need(f.Volume * joint.Volume(factor*f.metal(&f.Rods[i])*f.Parts[i]))
			if !yield(&f.Rods[i], n) {
				return
			}
			if f.Fluxes == nil || f.Fluxes[i].Ratio == 0 {
				continue
			}
			grams := n.Purchased * f.Fluxes[i].Ratio
			if !yield(&f.Fluxes[i].Rod, Need{Pieces: grams, Purchased: grams}) {
				return
			}
		}
	}
}

// describeWeighed says on what the numbers of wire or flux stand.
func (r Rod) describeWeighed() string {
	if r.Efficiency.Basis == "" {
		ratio := ""
		for _, row := range r.Rows {
			ratio = row.Value
		}
		return fmt.Sprintf("%s: flux, %s", r.Item, ratio)
	}
	return fmt.Sprintf("%s: density %s; efficiency %s; bought by mass", r.Item, r.Density, r.Efficiency)
}

// stated gives a wire the efficiency that a plan states for its pass. The error
// is an *joint.UncomputedError for rods, whose efficiency needs a basis.
func (r Rod) stated(p joint.Pass) (Rod, error) {
	if p.Efficiency == 0 {
		return r, nil
	}
	e := Efficiency{Value: p.Efficiency, Basis: Wire}
	if !r.ByMass {
		return r, &joint.UncomputedError{Reason: joint.ImpossibleSize, Field: "efficiency", Value: ratioText(p.Efficiency),
			Why: r.Item.String() + " are rods, whose efficiency needs its basis and stub", Write: "a row of your own tables: ovenward plan tables --help"}
	}
	if err := e.check(); err != nil {
		return r, &joint.UncomputedError{Reason: joint.ImpossibleSize, Field: "efficiency", Value: ratioText(p.Efficiency), Why: err.Error(), Write: "such as 87 %"}
	}
	r.Efficiency = e
	r.Rows = slices.DeleteFunc(slices.Clone(r.Rows), func(o Row) bool { return o.Table == "efficiency" })
	r.Rows = append(r.Rows, Row{"efficiency", r.Item.String(), e.String(), "the plan", joint.Shop})
	return r, nil
}

// Grams returns a mass in whole grams, as stock of what is bought by mass counts:
// what is over is not there.
func Grams(m measure.Mass) int64 { return int64(m / measure.Mass(measure.Gram)) }
