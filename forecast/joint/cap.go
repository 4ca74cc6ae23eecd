package joint

import (
	"math"

	"ovenward/inventory/measure"
)

// CapForm is the form of a reinforcement above a face.
type CapForm string

// The forms. A parabola holds two thirds of width times height and is what the
// ESAB handbook's reinforcement columns use; a segment of a circle holds 1 to
// 7 % more and is what the B-202 data book's double V uses.
const (
	Parabola CapForm = "parabola"
	Segment  CapForm = "segment"
)

// CapArea returns the area of a reinforcement of a width and height.
func CapArea(form CapForm, width, height measure.Length) Area {
	return capPart(form, width, height).Area
}

// capPart returns a reinforcement, its height above the face. A negative height
// is a hollow.
func capPart(form CapForm, width, height measure.Length) Part {
	w, h := width.Millimetres(), height.Millimetres()
	if form != Segment {
		return Part{Area(w * h * 2 / 3), 0.4 * h}
	}
	if h < 0 {
		p := segment(w, -h)
		return Part{-p.Area, -p.Height}
	}
	return segment(w, h)
}

// segment returns a segment of a circle by its chord and height, at most half a
// circle: R^2/2 (phi - sin phi), with its centroid above the chord.
func segment(chord, height float64) Part {
	if height == 0 {
		return Part{}
	}
	r := (square(chord)/4 + square(height)) / (2 * height)
	half := math.Asin(min(1, chord/(2*r)))
	area := square(r) / 2 * (2*half - math.Sin(2*half))
	centroid := 4 * r * math.Pow(math.Sin(half), 3) / (3 * (2*half - math.Sin(2*half)))
	return Part{Area(area), centroid - r*math.Cos(half)}
}
