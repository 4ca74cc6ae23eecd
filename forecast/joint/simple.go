package joint

import (
	"math"

	"ovenward/inventory/measure"
)

// fillet checks the sizes of a fillet and returns it. A gap between the parts
// makes the first leg longer by as much, so that its throat is kept.
func (s *Sizes) fillet() (Section, error) {
	if !s.Leg2.Given() {
		s.Leg2 = s.Leg
	}
	if err := s.need(leg, leg2); err != nil {
		return Section{}, err
	}
	if err := s.within(opening, 0, longestSection); err != nil {
		return Section{}, err
	}
	between := s.Angle
	if between == 0 {
		between = RightAngle
	}
	if err := included("angle", between, widestV); err != nil {
		return Section{}, err
	}
	if s.pipe() && between != RightAngle {
		return Section{}, unused("angle", between.String(), "a fillet around a pipe is at right angles here")
	}
	return FilletSection(s.Leg.Length()+s.Opening.Length(), s.Leg2.Length(), between), nil
}

// flare returns the section of a flare groove, filled flush: what a round of a
// radius leaves of its square, R^2 (1 - pi/4), once or twice.
func flare(p Preparation) func(*Sizes) (Section, error) {
	rounds := Area(1)
	if p == FlareV {
		rounds = 2
	}
	return func(s *Sizes) (Section, error) {
		if err := s.need(radius); err != nil {
			return Section{}, err
		}
		if err := s.within(opening, 0, longestSection); err != nil {
			return Section{}, err
		}
		r := s.Radius.Length()
		f := SquareSection(r, s.Opening.Length())
		round := square(r.Millimetres()) * (1 - math.Pi/4)
		f.Near = Part{rounds * Area(round), r.Millimetres() / 6 / (1 - math.Pi/4)}
		f.Face += measure.Length(rounds) * r
		return f, nil
	}
}

// plug returns the volume of a plug: a cylinder, or a cone's frustum where the
// hole is countersunk.
func (s *Sizes) plug() (Volume, error) {
	if err := s.need(diameter); err != nil {
		return 0, err
	}
	if err := s.within(diameter2, s.Diameter.Length(), longestSection); err != nil {
		return 0, s.impossible(diameter2, "less than the hole's "+s.Diameter.String())
	}
	h, err := s.filled()
	r := s.Diameter.Length().Millimetres() / 2
	top := s.Diameter2.Or(s.Diameter.Length()).Millimetres() / 2
	return Volume(math.Pi * h * (r*r + r*top + top*top) / 3), err
}

// slot returns the volume of a slot with round ends.
func (s *Sizes) slot() (Volume, error) {
	if err := s.need(width, length); err != nil {
		return 0, err
	}
	if s.Length.Length() < s.Width.Length() {
		return 0, s.impossible(length, "less than its width "+s.Width.String())
	}
	h, err := s.filled()
	w, l := s.Width.Length().Millimetres(), s.Length.Length().Millimetres()
	return Volume(h * (w*(l-w) + math.Pi*w*w/4)), err
}

// filled returns the depth of fill of a plug or slot in millimetres: as given,
// or the thickness.
func (s *Sizes) filled() (float64, error) {
	if !s.Fill.Given() {
		return s.Thickness.Length().Millimetres(), s.need(thickness)
	}
	if t := s.Thickness; t.Given() && s.Fill.Length() > t.Length() {
		return 0, s.impossible(fill, "more than the thickness "+t.String())
	}
	return s.Fill.Length().Millimetres(), s.need(fill)
}

// edge returns an edge weld: a cap on the edges that lie side by side.
func (s *Sizes) edge() (Section, error) {
	err := s.need(width, fill)
	return Section{Body: capPart(s.CapForm, s.Width.Length(), s.Fill.Length())}, err
}

// overlay returns a layer of weld metal on a face; on a pipe it lies on the
// near side, and its width is along the pipe.
func (s *Sizes) overlay() (Section, error) {
	err := s.need(width, fill)
	layer := s.Fill.Length()
	return Section{Body: Part{Rectangle(layer, s.Width.Length()), layer.Millimetres() / 2}}, err
}
