package joint

import (
	"math"

	"ovenward/inventory/measure"
)

// Part is a simple part of a cross section.
type Part struct {
	Area   Area
	Height float64 // of its centroid above the root, in millimetres
}

// Section is a cross section of a weld.
type Section struct {
	Body  Part           // the rectangle of a groove, or the triangle of a fillet
	Walls Part           // the two triangles of a V
	Cap   Part           // negative for a concave fillet
	Top   measure.Length // of the face above the root
	Face  measure.Length // width of the face without a cap
}

// FilletSection returns a flat fillet at right angles.
func FilletSection(leg, leg2 measure.Length) Section {
	chord := math.Hypot(float64(leg), float64(leg2))
	return Section{
		Body: Part{Area: RightFillet(leg, leg2)},
		Face: measure.Length(math.Round(chord)),
	}
}

// SquareSection returns a square butt, filled flush.
func SquareSection(thickness, opening measure.Length) Section {
	return Section{
		Body: Part{Area: Rectangle(thickness, opening), Height: thickness.Millimetres() / 2},
		Top:  thickness,
		Face: opening,
	}
}

// VSection returns a single V, filled flush: g t + S^2 tan(included/2), where S
// is the thickness less the root face.
func VSection(thickness, opening, rootFace measure.Length, included Angle) Section {
	s := SquareSection(thickness, opening)
	depth := thickness - rootFace
	s.Walls = Part{
		Area:   2 * Bevel(depth, included/2),
		Height: rootFace.Millimetres() + depth.Millimetres()*2/3,
	}
	s.Face = opening + measure.Length(math.Round(2*float64(depth)*tan(included/2)))
	return s
}

// WithCap returns the section with a parabolic cap on its face. The centroid of
// a cap lies at two fifths of its height.
func (s Section) WithCap(width, height measure.Length) Section {
	s.Cap = Part{
		Area:   ParabolicCap(width, height),
		Height: s.Top.Millimetres() + 0.4*height.Millimetres(),
	}
	return s
}

// Groove returns the area below the face.
func (s Section) Groove() Area { return s.Body.Area + s.Walls.Area }

// Area returns the whole area.
func (s Section) Area() Area { return s.Groove() + s.Cap.Area }

// Along returns the volume of a straight weld.
func (s Section) Along(length measure.Length) Volume {
	return Volume(float64(s.Area()) * length.Millimetres())
}

// Around returns the volume of a weld around a pipe with its root at the bore,
// each part carried round the circle of its own centroid (Pappus).
func (s Section) Around(outside, wall measure.Length) Volume {
	bore := outside.Millimetres()/2 - wall.Millimetres()
	var v float64
	for _, p := range [...]Part{s.Body, s.Walls, s.Cap} {
		v += float64(p.Area) * 2 * math.Pi * (bore + p.Height)
	}
	return Volume(v)
}
