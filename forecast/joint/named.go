package joint

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"ovenward/inventory/measure"
)

// Named is a preparation that a code or the shop has a name for.
type Named struct {
	Name    string
	Process string
	Shape   Preparation
	Options []Option // what the code prints beside each other
	Root    Range    // root face
	Radius  Size
	Backing bool
	Gouge   bool // the far side is gouged to sound metal
	FitUp   FitUp
	Note    string
	Source  string
	Status  Status
}

// Option is one of the openings of a named preparation with its angle.
type Option struct {
	Opening   Range
	Angle     Angle
	Positions string
}

// Range is a size, or any between two.
type Range struct{ From, To measure.Length }

// fixed reports whether a range leaves no choice.
func (r Range) fixed() bool { return r.From == r.To }

func (r Range) holds(l measure.Length) bool { return l >= r.From && l <= r.To }

func (r Range) String() string {
	if r.fixed() {
		return SizeText(r.From)
	}
	return SizeText(r.From) + " to " + SizeText(r.To)
}

// FitUp is what assembly may add to the sizes of the drawing, from the least to
// the most.
type FitUp struct {
	Opening, RootFace Range
	Angle             struct{ From, To Angle }
}

// Given reports whether the code prints a tolerance at all.
func (f FitUp) Given() bool { return f != FitUp{} }

// String prints what assembly may add, "opening -1/16 in to 1/4 in, angle -5 deg
// to 10 deg"; empty where the code prints nothing.
func (f FitUp) String() string {
	var parts []string
	if f.Opening != (Range{}) {
		parts = append(parts, "opening "+f.Opening.String())
	}
	if f.RootFace != (Range{}) {
		parts = append(parts, "root face "+f.RootFace.String())
	}
	if a := f.Angle; a.From != 0 || a.To != 0 {
		parts = append(parts, fmt.Sprintf("angle %s to %s", a.From, a.To))
	}
	return strings.Join(parts, ", ")
}

// Difference is a size that a joint gives otherwise than the preparation that it
// names.
type Difference struct {
	Field        string
	Joint, Named string
}

// String prints "opening 5/16 in, TC-U4a has 1/4 in".
func (d Difference) String() string { return d.Field + " " + d.Joint + ", named " + d.Named }

// Resolved is a joint with the sizes of the preparation that it names.
type Resolved struct {
	Joint     Joint // the preparation is a shape
	Named     *Named
	Differs   []Difference // what the joint gives otherwise: its own figures count
	Low, High Joint        // at the limits of fit-up that take the least and the most metal
}

// Catalogue holds named preparations. A nil one holds none.
type Catalogue struct {
	Version string
	byName  map[string]*Named
	names   []string
}

// Names returns the names in the order of the file.
func (c *Catalogue) Names() []string { return slices.Clone(c.names) }

// Over returns the catalogue with another's preparations laid over it: where both
// have a name, the other's counts.
func (c *Catalogue) Over(o *Catalogue) *Catalogue {
	all := &Catalogue{Version: c.Version, byName: maps.Clone(c.byName), names: slices.Clone(c.names)}
	if o.Version != "" {
		all.Version += ", shop's " + o.Version
	}
	for _, name := range o.names {
		fold := strings.ToLower(name)
		if old, known := all.byName[fold]; known {
			all.names[slices.Index(all.names, old.Name)] = name
		} else {
			all.names = append(all.names, name)
		}
		all.byName[fold] = o.byName[fold]
	}
	return all
}

// Find returns a preparation by its name, in any case of letters.
func (c *Catalogue) Find(name string) (*Named, bool) {
	n, ok := c.byName[strings.ToLower(name)]
	return n, ok
}

// Resolve gives a joint that names a preparation its shape and the sizes that it
// leaves out. A joint that names none comes back as it is. The error is an
// *UncomputedError when the joint must choose: between options, or in a range.
func (c *Catalogue) Resolve(j Joint) (Resolved, error) {
	as := Resolved{Joint: j, Low: j, High: j}
	if _, shape := shapeOf(j.Preparation); shape || c == nil {
		return as, nil
	}
	n, ok := c.Find(string(j.Preparation))
	if !ok {
		return as, nil
	}
	r := Resolved{Joint: j, Named: n}
	z := &r.Joint.Sizes
	r.Joint.Preparation, z.Backing = n.Shape, z.Backing || n.Backing
	o, err := n.option(z)
	if err != nil {
		return r, err
	}
	for _, s := range []struct {
		field Field
		is    Range
		has   bool
	}{{opening, o.Opening, true}, {rootFace, n.Root, n.Root != Range{} || !n.Backing},
		{radius, Range{n.Radius.Length(), n.Radius.Length()}, n.Radius.Given()}} {
		if s.has {
			if err := r.take(s.field, s.is); err != nil {
				return r, err
			}
		}
	}
	switch {
	case z.Angle == 0:
		z.Angle = o.Angle
	case z.Angle != o.Angle:
		r.Differs = append(r.Differs, Difference{"angle", z.Angle.String(), o.Angle.String()})
	}
	if n.Gouge && !z.Gouge.Given() {
		return r, &UncomputedError{Reason: MissingSize, Field: gouge.String(), Why: "not given, and " + n.Name + " is gouged from the far side",
			Write: gouge.hint() + "; 0 mm if it is not"}
	}
	if z.Gouge.Given() && z.Gouge.Length() == 0 {
		z.Gouge = Size{}
	}
	r.Low, r.High = n.FitUp.limits(r.Joint)
	return r, nil
}

// take gives the joint a size of the preparation, or notes that it has another.
func (r *Resolved) take(f Field, is Range) error {
	size := r.Joint.Sizes.At(f)
	switch {
	case size.Given() && !is.holds(size.Length()):
		r.Differs = append(r.Differs, Difference{f.String(), size.String(), is.String()})
	case size.Given():
	case !is.fixed():
		return &UncomputedError{Reason: MissingSize, Field: f.String(),
			Why: fmt.Sprintf("not given, and %s allows %s", r.Named.Name, is), Write: "which of them, such as " + SizeText(is.To)}
	default:
		*size = Exactly(is.From)
	}
	return nil
}

// option returns the option that a joint chose by its opening or its angle; the
// first where neither leaves a choice.
func (n *Named) option(z *Sizes) (Option, error) {
	fits := func(o Option) bool {
		return (z.Angle == 0 || z.Angle == o.Angle) && (!z.Opening.Given() || o.Opening.holds(z.Opening.Length()))
	}
	var found []Option
	for _, o := range n.Options {
		if fits(o) {
			found = append(found, o)
		}
	}
	switch {
	case len(found) == 1:
		return found[0], nil
	case len(found) == 0: // figures of its own: measured against the first
		return n.Options[0], nil
	}
	var choices []string
	for _, o := range found {
		choices = append(choices, fmt.Sprintf("%s with %s (%s)", o.Opening, o.Angle, o.Positions))
	}
	return Option{}, &UncomputedError{Reason: MissingSize, Field: "angle", Why: "not given, and " + n.Name + " has several",
		Write: "the angle of one of: " + strings.Join(choices, "; ")}
}

// limits returns a joint at the limits of its fit-up: narrow with a thick root
// face, wide with a thin one.
func (f FitUp) limits(j Joint) (low, high Joint) {
	low, high = j, j
	if !f.Given() {
		return low, high
	}
	shift := func(to *Sizes, open, face measure.Length, turn Angle) {
		to.Opening = Exactly(max(0, to.Opening.Length()+open))
		if to.RootFace.Given() {
			to.RootFace = Exactly(max(0, to.RootFace.Length()+face))
		}
		to.Angle += turn
		if to.Angle2 != 0 {
			to.Angle2 += turn
		}
	}
	shift(&low.Sizes, f.Opening.From, f.RootFace.To, f.Angle.From)
	shift(&high.Sizes, f.Opening.To, f.RootFace.From, f.Angle.To)
	return low, high
}
