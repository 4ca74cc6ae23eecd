package joint

import (
	"math"

	"ovenward/inventory/measure"
)

// Section is a cross section of a weld. Heights are measured from the root, at
// the far side, to the near side from which it is welded.
type Section struct {
	Body   Part // the rectangle of a groove, the triangle of a fillet, the layer of an overlay
	Near   Part // walls of the near side
	Far    Part // walls of the far side of a double groove
	Cap    Part // negative for a hollow fillet
	Root   Part // reinforcement of the far side
	MeltIn Part // into the backing
	Gouge  Part // refilled from the far side

	Top     float64        // of the near face above the root, in millimetres
	Face    measure.Length // width of the near face without a cap
	FarFace measure.Length // width of the far face
	lean    float64        // how much of a cap's height lies across a pipe: 1 but for a fillet

	opening, capHeight, rootHeight float64 // of a groove, in millimetres

	near, far Wall
}

// FilletSection returns a flat fillet between parts that meet at an angle. The
// second leg lies across a pipe, on the flange that it goes through.
func FilletSection(leg, leg2 measure.Length, between Angle) Section {
	a, b := float64(leg), float64(leg2)
	chord := math.Sqrt(a*a + b*b - 2*a*b*cosine(between))
	return Section{
		Body: Part{FilletArea(leg, leg2, between), leg2.Millimetres() / 3},
		Top:  leg2.Millimetres() / 2,
		Face: measure.Length(math.Round(chord)),
		lean: a / chord,
	}
}

// cosine is exactly 0 at a right angle.
func cosine(a Angle) float64 {
	if a == RightAngle {
		return 0
	}
	return cos(a)
}

// SquareSection returns a square butt, filled flush.
func SquareSection(thickness, opening measure.Length) Section {
	return Section{
		Body: Part{Rectangle(thickness, opening), thickness.Millimetres() / 2},
		Top:  thickness.Millimetres(), Face: opening, FarFace: opening, lean: 1,
		opening: opening.Millimetres(),
	}
}

// GrooveSection returns a groove with walls on the near side and, where far has
// a depth, on the far side, filled flush. What the depths leave of the
// thickness is the root face.
func GrooveSection(thickness, opening measure.Length, near, far Wall) Section {
	s := SquareSection(thickness, opening)
	s.near, s.far = near, far
	s.Near = near.part().above(s.Top - near.Depth.Millimetres())
	s.Face += near.opens()
	if far.Depth > 0 {
		s.Far = far.part().below(far.Depth.Millimetres())
		s.FarFace += far.opens()
	}
	return s
}

// WithCap returns the section with a cap on its near face.
func (s Section) WithCap(form CapForm, width, height measure.Length) Section {
	p := capPart(form, width, height)
	s.Cap = Part{p.Area, s.Top + p.Height*s.lean}
	s.capHeight = height.Millimetres()
	return s
}

// WithRoot returns the section with a reinforcement on its far face.
func (s Section) WithRoot(form CapForm, width, height measure.Length) Section {
	s.Root = capPart(form, width, height).below(0)
	s.rootHeight = height.Millimetres()
	return s
}

// WithMeltIn returns the section with weld metal that went so deep into the
// backing, as wide as the opening.
func (s Section) WithMeltIn(opening, depth measure.Length) Section {
	s.MeltIn = Part{Rectangle(depth, opening), depth.Millimetres() / 2}.below(0)
	return s
}

// WithGouge returns the section with a gouge from the far side that is filled
// again. All of it counts: the metal of the near side that it took out was used
// before.
func (s Section) WithGouge(depth, radius measure.Length) Section {
	s.Gouge = gougeTrough(depth, radius)
	s.FarFace = gougeMouth(depth, radius)
	return s
}

func (s Section) parts() [7]Part {
	return [...]Part{s.Body, s.Near, s.Far, s.Cap, s.Root, s.MeltIn, s.Gouge}
}

// Groove returns the area below the faces.
func (s Section) Groove() Area { return s.Body.Area + s.Near.Area + s.Far.Area }

// Area returns the whole area.
func (s Section) Area() Area {
	var a Area
	for _, p := range s.parts() {
		a += p.Area
	}
	return a
}

// Along returns the volume of a straight weld.
func (s Section) Along(length measure.Length) Volume {
	return Volume(float64(s.Area()) * length.Millimetres())
}

// Around returns the volume of a weld around a pipe with its root at a radius in
// millimetres, each part carried round the circle of its own centroid (Pappus). The near side
// lies outward, or inward where the weld is made from inside.
func (s Section) Around(root float64, inside bool) Volume {
	outward := 1.0
	if inside {
		outward = -1
	}
	var v float64
	for _, p := range s.parts() {
		v += float64(p.Area) * 2 * math.Pi * (root + outward*p.Height)
	}
	return Volume(v)
}
