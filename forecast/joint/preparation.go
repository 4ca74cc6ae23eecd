package joint

import (
	"fmt"

	"ovenward/inventory/measure"
)

// widestV bounds an included angle: beyond it a V is a slip of the pen.
const widestV Angle = 170

func (j Joint) section() (Section, error) {
	switch j.Preparation {
	case Fillet:
		return j.Sizes.fillet()
	case SquareButt:
		return j.Sizes.squareButt()
	case SingleV:
		return j.Sizes.singleV()
	default:
		return Section{}, &UncomputedError{
			Reason: NoGeometry, Field: "prep", Value: fmt.Sprintf("%q", string(j.Preparation)),
			Why: "no geometry for this preparation", Write: fmt.Sprintf("one of %q", Preparations()),
		}
	}
}

func (s Sizes) fillet() (Section, error) {
	if s.pipe() {
		return Section{}, &UncomputedError{
			Reason: NoGeometry, Field: "od", Value: s.Outside.String(),
			Why: "no geometry for a fillet around a pipe", Write: "its length instead of od and wall",
		}
	}
	err := refuse(Fillet, named{name: "opening", size: s.Opening}, named{name: "root_face", size: s.RootFace},
		named{name: "cap_width", size: s.CapWidth})
	if err == nil {
		err = s.refuseAngle(Fillet)
	}
	if err != nil {
		return Section{}, err
	}
	leg2 := s.Leg2
	if !leg2.Given {
		leg2 = s.Leg
	}
	err = require(longestSection, named{"leg", s.Leg, "the leg, such as 1/4 in or 6 mm"},
		named{"leg2", leg2, "the second leg, or nothing if both are equal"})
	return FilletSection(s.Leg.Length, leg2.Length), err
}

func (s Sizes) squareButt() (Section, error) {
	err := refuse(SquareButt, named{name: "leg", size: s.Leg}, named{name: "leg2", size: s.Leg2},
		named{name: "root_face", size: s.RootFace})
	if err == nil {
		err = s.refuseAngle(SquareButt)
	}
	if err != nil {
		return Section{}, err
	}
	t, err := s.plate()
	if err != nil {
		return Section{}, err
	}
	return SquareSection(t, s.Opening.Length), nil
}

func (s Sizes) singleV() (Section, error) {
	err := refuse(SingleV, named{name: "leg", size: s.Leg}, named{name: "leg2", size: s.Leg2})
	if err != nil {
		return Section{}, err
	}
	t, err := s.plate()
	if err != nil {
		return Section{}, err
	}
	root, err := s.rootFace(t)
	if err != nil {
		return Section{}, err
	}
	if err := s.checkAngle(); err != nil {
		return Section{}, err
	}
	return VSection(t, s.Opening.Length, root, s.Angle), nil
}

// plate checks and returns the thickness of the parts of a butt joint, and
// checks the opening.
func (s Sizes) plate() (measure.Length, error) {
	t, n := s.Thickness, named{name: "thickness", hint: "the plate, such as 1/2 in or 12 mm"}
	switch {
	case s.pipe() && !t.Given:
		t, n = s.Wall, named{name: "wall", hint: wallHint}
	case s.pipe() && s.Wall.Given && t != s.Wall:
		return 0, impossible("thickness", t.String(), "the wall is "+s.Wall.String(), "the wall alone for a pipe")
	}
	n.size = t
	if err := require(longestSection, n); err != nil {
		return 0, err
	}
	opening := named{"opening", s.Opening, "the root opening, such as 1/8 in or 3 mm; 0 mm if the edges touch"}
	if !s.Opening.Given {
		return 0, &UncomputedError{Reason: MissingSize, Field: opening.name, Why: "not given", Write: opening.hint}
	}
	return t.Length, within(opening, 0, longestSection)
}

// rootFace checks and returns the root face. A V on backing without one runs to
// a feather edge, as those of AWS D1.1:2020 Figure 5.1 on backing do.
func (s Sizes) rootFace(thickness measure.Length) (measure.Length, error) {
	n := named{"root_face", s.RootFace, "the root face, such as 1/16 in; 0 mm for a feather edge"}
	switch {
	case !s.RootFace.Given && !s.Backing:
		return 0, &UncomputedError{Reason: MissingSize, Field: n.name, Why: "not given", Write: n.hint}
	case s.RootFace.Length >= thickness:
		return 0, impossible(n.name, n.size.String(), "not less than the thickness "+SizeText(thickness), n.hint)
	}
	return s.RootFace.Length, within(n, 0, longestSection)
}

func (s Sizes) checkAngle() error {
	const hint = "the included angle of the V, both walls together, such as 60 deg"
	switch {
	case s.Angle == 0:
		return &UncomputedError{Reason: MissingSize, Field: "angle", Why: "not given", Write: hint}
	case !(s.Angle > 0 && s.Angle <= widestV): // in this form NaN fails too
		return impossible("angle", s.Angle.String(), "not between 0 and "+widestV.String(), hint)
	}
	return nil
}

func (s Sizes) refuseAngle(p Preparation) error {
	if s.Angle == 0 {
		return nil
	}
	return unused("angle", s.Angle.String(), fmt.Sprintf("%s has no angle", p))
}
