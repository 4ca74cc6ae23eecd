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

// both returns a part on either side of the groove.
func (p Part) both() Part { return Part{2 * p.Area, p.Height} }

// above returns a part whose height was measured up from a foot.
func (p Part) above(foot float64) Part { return Part{p.Area, foot + p.Height} }

// below returns a part whose height was measured down from a foot.
func (p Part) below(foot float64) Part { return Part{p.Area, foot - p.Height} }

// plus returns two parts as one.
func (p Part) plus(o Part) Part {
	if p.Area+o.Area == 0 {
		return Part{}
	}
	moment := float64(p.Area)*p.Height + float64(o.Area)*o.Height
	return Part{p.Area + o.Area, moment / float64(p.Area+o.Area)}
}

// bevelWall returns what one straight wall adds, its height above the wall's
// foot.
func bevelWall(depth measure.Length, wall Angle) Part {
	return Part{Bevel(depth, wall), depth.Millimetres() * 2 / 3}
}

// JWall returns what one J wall adds to a groove: a quarter round of a radius
// from its foot to where it touches a wall at an angle from the vertical, and
// that wall up to the depth,
//
//	r^2/2 (pi/2 - a - sin a cos a) + r cos a H + H^2 tan(a)/2, H = S - r (1 - sin a)
//
// with its height above the foot. A depth of less than r (1 - sin a) leaves no
// straight wall: it has no such form.
func JWall(depth, radius measure.Length, wall Angle) Part {
	r, s, c := radius.Millimetres(), sin(wall), cos(wall)
	straight := depth.Millimetres() - r*(1-s)
	round := square(r) / 2 * (math.Pi/2 - radians(wall) - s*c)
	moment := r*round - r*r*r*c*c*c/3 // about the foot: the integral of y x dy
	shoulder := r * (1 - s)
	slab := Part{Area(r * c * straight), shoulder + straight/2}
	wedge := Part{Area(square(straight) * tan(wall) / 2), shoulder + straight*2/3}
	if round == 0 {
		return slab.plus(wedge)
	}
	return Part{Area(round), moment / round}.plus(slab).plus(wedge)
}

// gougeTrough returns what a gouge of a depth and a radius takes out of the far
// side: a round bottom with straight walls, or a segment of the round where it
// is shallower than that. Its height is measured up from the far face.
func gougeTrough(depth, radius measure.Length) Part {
	d, r := depth.Millimetres(), radius.Millimetres()
	if d < r {
		return segment(2*math.Sqrt(square(r)-square(r-d)), d)
	}
	trough := JWall(depth, radius, 0).both()
	return Part{trough.Area, d - trough.Height}
}

// gougeMouth returns the width of a gouge at the far face.
func gougeMouth(depth, radius measure.Length) measure.Length {
	d, r := float64(depth), float64(radius)
	if d < r {
		return measure.Length(math.Round(2 * math.Sqrt(square(r)-square(r-d))))
	}
	return 2 * radius
}

// Wall is one side of a groove.
type Wall struct {
	Depth  measure.Length
	Angle  Angle          // from the vertical
	Radius measure.Length // of a J or a U; zero for a straight wall
	Two    bool           // the groove has two such walls, as a V and a U have
}

// part returns what the walls add, its height above their foot.
func (w Wall) part() Part {
	p := bevelWall(w.Depth, w.Angle)
	if w.Radius > 0 {
		p = JWall(w.Depth, w.Radius, w.Angle)
	}
	if w.Two {
		return p.both()
	}
	return p
}

// opens returns by how much the walls widen the face.
func (w Wall) opens() measure.Length {
	across := w.Depth.Millimetres() * tan(w.Angle)
	if w.Radius > 0 {
		r := w.Radius.Millimetres()
		across = r*cos(w.Angle) + (w.Depth.Millimetres()-r*(1-sin(w.Angle)))*tan(w.Angle)
	}
	if w.Two {
		across *= 2
	}
	return measure.Length(math.Round(across * float64(measure.Millimetre)))
}

// upTo returns the area that the walls add from their foot up to a height in
// millimetres.
func (w Wall) upTo(height float64) Area {
	height = min(max(height, 0), w.Depth.Millimetres())
	sides := Area(1)
	if w.Two {
		sides = 2
	}
	r := w.Radius.Millimetres()
	if shoulder := r * (1 - sin(w.Angle)); height < shoulder { // half a segment of the round
		return sides * segment(2*math.Sqrt(square(r)-square(r-height)), height).Area / 2
	}
	up := w
	up.Depth, up.Two = measure.Length(math.Round(height*float64(measure.Millimetre))), false
	return sides * up.part().Area
}
