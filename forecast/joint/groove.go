package joint

import "ovenward/inventory/measure"

// walls says what the walls of a groove are.
type walls struct {
	two    bool // both parts are prepared: a V or a U
	round  bool // with a radius at the root: a J or a U
	double bool // from both sides
}

func wallsOf(p Preparation) (walls, bool) {
	switch p {
	case SingleV:
		return walls{two: true}, true
	case DoubleV:
		return walls{two: true, double: true}, true
	case SingleBevel:
		return walls{}, true
	case DoubleBevel:
		return walls{double: true}, true
	case SingleU:
		return walls{two: true, round: true}, true
	case DoubleU:
		return walls{two: true, round: true, double: true}, true
	case SingleJ:
		return walls{round: true}, true
	case DoubleJ:
		return walls{round: true, double: true}, true
	default:
		return walls{}, false
	}
}

func (w walls) shape() shape {
	s := shape{uses: ofSingles(), angle: true, backing: true, section: w.section}
	if w.double {
		s.uses, s.angle2, s.backing = ofDoubles(), true, false
	}
	if w.round {
		s.uses |= set(radius)
	}
	return s
}

// section checks the sizes of a groove and returns it.
func (w walls) section(s *Sizes) (Section, error) {
	t, err := s.plate()
	if err != nil {
		return Section{}, err
	}
	near, far, err := s.depths(t, w.double)
	if err != nil {
		return Section{}, err
	}
	first, err := w.wall(s, depth, near, "angle", s.Angle)
	if err != nil || !w.double {
		return GrooveSection(t, s.Opening.Length(), first, Wall{}), err
	}
	angle := s.Angle2
	if angle == 0 {
		angle = s.Angle
	}
	second, err := w.wall(s, depth2, far, "angle2", angle)
	return GrooveSection(t, s.Opening.Length(), first, second), err
}

// wall checks and returns the walls of one side.
func (w walls) wall(s *Sizes, f Field, deep measure.Length, column string, angle Angle) (Wall, error) {
	most := widestV / 2
	if w.two {
		most = widestV
	}
	if err := included(column, angle, most); err != nil {
		return Wall{}, err
	}
	side := Wall{Depth: deep, Angle: angle, Two: w.two}
	if w.two {
		side.Angle /= 2
	}
	if !w.round {
		return side, nil
	}
	if err := s.need(radius); err != nil {
		return Wall{}, err
	}
	side.Radius = s.Radius.Length()
	if shoulder := float64(side.Radius) * (1 - sin(side.Angle)); float64(deep) < shoulder {
		return Wall{}, impossible(radius.String(), s.Radius.String(),
			"its round is higher than the groove is deep, "+SizeText(deep), radius.hint()+", or a deeper "+f.String())
	}
	return side, nil
}

// plate checks and returns the thickness of the parts of a butt joint, and
// checks the opening.
func (s *Sizes) plate() (measure.Length, error) {
	t := thickness
	switch {
	case s.pipe() && !s.Thickness.Given():
		t = wall
	case s.pipe() && s.Wall.Given() && s.Thickness != s.Wall:
		return 0, impossible("thickness", s.Thickness.String(), "the wall is "+s.Wall.String(), "the wall alone for a pipe")
	}
	if err := s.need(t); err != nil {
		return 0, err
	}
	if err := s.given(opening); err != nil {
		return 0, err
	}
	return s.At(t).Length(), s.within(opening, 0, longestSection)
}

// depths checks and returns how deep the sides of a groove are. The sides of a
// double groove share what the root face leaves unless they are given.
func (s *Sizes) depths(t measure.Length, double bool) (near, far measure.Length, err error) {
	if !double {
		root, err := s.face(t)
		return t - root, 0, err
	}
	if s.Depth.Given() && s.Depth2.Given() {
		return s.bothDepths(t)
	}
	root, err := s.face(t)
	if err != nil {
		return 0, 0, err
	}
	for _, f := range []Field{depth, depth2} {
		if err := s.within(f, 1, t-root-1); err != nil {
			return 0, 0, err
		}
	}
	both := t - root
	switch {
	case s.Depth.Given():
		return s.Depth.Length(), both - s.Depth.Length(), nil
	case s.Depth2.Given():
		return both - s.Depth2.Length(), s.Depth2.Length(), nil
	}
	return both - both/2, both / 2, nil
}

// bothDepths checks depths that are both given: with the root face they are the
// thickness.
func (s *Sizes) bothDepths(t measure.Length) (near, far measure.Length, err error) {
	if err := s.need(depth, depth2); err != nil {
		return 0, 0, err
	}
	near, far = s.Depth.Length(), s.Depth2.Length()
	root := t - near - far
	switch {
	case root < 0:
		return 0, 0, s.impossible(depth2, "with the near side's "+s.Depth.String()+" deeper than the thickness "+SizeText(t))
	case s.RootFace.Given() && s.RootFace.Length() != root:
		return 0, 0, s.impossible(rootFace, "the depths leave "+SizeText(root))
	}
	return near, far, nil
}

// face checks and returns the root face. A groove on backing without one runs
// to a feather edge, as those of AWS D1.1:2020 Figure 5.1 on backing do.
func (s *Sizes) face(thickness measure.Length) (measure.Length, error) {
	switch {
	case !s.RootFace.Given() && !s.Backing:
		return 0, s.given(rootFace)
	case s.RootFace.Length() >= thickness:
		return 0, s.impossible(rootFace, "not less than the thickness "+SizeText(thickness))
	}
	return s.RootFace.Length(), s.within(rootFace, 0, longestSection)
}

func (s *Sizes) squareButt() (Section, error) {
	t, err := s.plate()
	return SquareSection(t, s.Opening.Length()), err
}
