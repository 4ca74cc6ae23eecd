package joint

import "math"

// Lift is one side of a groove as it is filled: from the root to the face, with
// its cap.
type Lift struct {
	Height float64 // in millimetres, the cap's included
	Area   Area    // caps, melt-in and gouge included
	Foot   float64 // of the first layer, above the far face, in millimetres
	Down   bool    // it is filled towards the far face
	below  func(float64) Area
}

// Below returns the area that is filled when the weld stands so high above the
// lift's root, in millimetres. What lies outside of the groove, a cap or a gouge,
// counts with the last of it.
func (l Lift) Below(height float64) Area {
	if height >= l.Height {
		return l.Area
	}
	return l.below(height)
}

// Lifts returns the sides of a groove in the order in which they are filled: one,
// or two where walls or a gouge open the far side. They meet in the middle of a
// double groove's root face, and at the bottom of a gouge. A weld that is not
// between two faces, as a fillet, has none.
func (s Section) Lifts() []Lift {
	if s.Near.Area > 0 && s.near.Depth == 0 || s.opening == 0 && s.Near.Area == 0 { // a flare; or no groove
		return nil
	}
	outside := s.Cap.Area + s.MeltIn.Area + s.Root.Area
	if s.Far.Area == 0 {
		return []Lift{{Height: s.Top + s.capHeight, Area: s.Groove() + outside + s.Gouge.Area, below: s.filledTo}}
	}
	middle := (s.Top - s.near.Depth.Millimetres() + s.far.Depth.Millimetres()) / 2
	half := s.filledTo(middle)
	return []Lift{
		{Height: s.Top - middle + s.capHeight, Area: s.Groove() - half + s.Cap.Area, Foot: middle,
			below: func(h float64) Area { return s.filledTo(middle+h) - half }},
		{Height: middle + s.rootHeight, Area: half + s.Root.Area + s.Gouge.Area, Foot: middle, Down: true,
			below: func(h float64) Area { return half - s.filledTo(middle-h) }},
	}
}

// filledTo returns the area of the groove below a height above the far face.
func (s Section) filledTo(height float64) Area {
	height = min(max(height, 0), s.Top)
	far := s.far.Depth.Millimetres()
	return Area(s.opening*height) +
		s.near.upTo(height-(s.Top-s.near.Depth.Millimetres())) +
		s.far.upTo(far) - s.far.upTo(far-height)
}

// Sides returns where the walls of a groove are at a height above the far face, in
// millimetres from the middle of the opening: the left one below zero. One that is
// not prepared stands straight.
func (s Section) Sides(height float64) (left, right float64) {
	height = min(max(height, 0), s.Top)
	half := s.opening / 2
	foot := s.Top - s.near.Depth.Millimetres()
	wall, up := s.near, height-foot
	if height < s.far.Depth.Millimetres() {
		wall, up = s.far, s.far.Depth.Millimetres()-height
	}
	across := wall.across(max(0, up))
	left, right = -half, half+across
	if wall.Two {
		left -= across
	}
	return left, right
}

// across is how far a wall stands back from its foot at a height, in millimetres.
func (w Wall) across(height float64) float64 {
	r := w.Radius.Millimetres()
	shoulder := r * (1 - sin(w.Angle))
	switch {
	case r == 0:
		return height * tan(w.Angle)
	case height < shoulder:
		return math.Sqrt(square(r) - square(r-height))
	}
	return r*cos(w.Angle) + (height-shoulder)*tan(w.Angle)
}
