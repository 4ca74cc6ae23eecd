package joint

import (
	"fmt"

	"ovenward/inventory/measure"
)

// CapOrigin is where the size of a cap comes from.
type CapOrigin string

// The origins of a cap.
const (
	NoCap      CapOrigin = "none"                // no height given: filled flush
	StatedCap  CapOrigin = "stated"              // height and width from the plan
	GrooveCap  CapOrigin = "width of the groove" // width by geometry, no overlap on the plate
	FilletFace CapOrigin = "face of the fillet"  // convex or concave across the whole face
	OpenRoot   CapOrigin = "opening and 3 mm"    // the bead of an open root; from memory: 2 to 4 mm more
)

// Figures from memory, to be overwritten by a plan that knows better.
const (
	DefaultGouge = 6 * measure.Millimetre // radius of a back gouge
	rootOverlap  = 3 * measure.Millimetre // of an open root's bead over its opening: 2 to 4 mm
)

// Weld is the weld metal of one joint, without any allowance.
type Weld struct {
	Section Section // empty for a plug or a slot
	Volume  Volume
	Cap     CapOrigin
	Root    CapOrigin
}

// Weld computes the weld metal of one of the joint's equal welds, the quantity
// not counted. The error is an *UncomputedError.
func (j Joint) Weld() (Weld, error) {
	s, ok := shapeOf(j.Preparation)
	if !ok {
		return Weld{}, &UncomputedError{
			Reason: NoGeometry, Field: "prep", Value: fmt.Sprintf("%q", string(j.Preparation)),
			Why: "no geometry for this preparation", Write: "one of: " + Known(),
		}
	}
	if err := j.misused(s); err != nil {
		return Weld{}, err
	}
	w := Weld{Cap: NoCap, Root: NoCap}
	var err error
	if s.volume != nil {
		w.Volume, err = s.volume(&j.Sizes)
		return w, err
	}
	if w.Section, err = s.section(&j.Sizes); err != nil {
		return Weld{}, err
	}
	if err := j.finish(&w); err != nil {
		return Weld{}, err
	}
	if w.Section.Area() <= 0 {
		return Weld{}, impossible("prep", string(j.Preparation), "its sizes leave no room for weld metal",
			"a larger opening or leg, or a cap")
	}
	w.Volume, err = j.run(w.Section)
	return w, err
}

// finish adds what lies outside of the groove: caps, melt-in, the gouge.
func (j Joint) finish(w *Weld) error {
	z := &j.Sizes
	if form := z.CapForm; form != "" && form != Parabola && form != Segment {
		return impossible("cap_form", string(form), "no such form", "parabola or segment")
	}
	for _, add := range []func(*Sizes, *Section) error{(*Sizes).melted, (*Sizes).gouged} {
		if err := add(z, &w.Section); err != nil {
			return err
		}
	}
	if err := j.capped(w); err != nil {
		return err
	}
	return j.rooted(w)
}

func (s *Sizes) melted(w *Section) error {
	if !s.MeltIn.Given() {
		return nil
	}
	if !s.Backing {
		return unused(meltIn.String(), s.MeltIn.String(), "there is no backing to melt into")
	}
	*w = w.WithMeltIn(s.Opening.Length(), s.MeltIn.Length())
	return s.within(meltIn, 0, longestSection)
}

func (s *Sizes) gouged(w *Section) error {
	if !s.Gouge.Given() {
		if s.GougeEnd.Given() {
			return unused(gougeEnd.String(), s.GougeEnd.String(), "nothing is gouged")
		}
		return nil
	}
	if s.Backing {
		return unused(gouge.String(), s.Gouge.String(), "a root on backing is not gouged")
	}
	if err := s.within(gouge, 1, measure.Length(w.Top*float64(measure.Millimetre))); err != nil {
		return err
	}
	if err := s.within(gougeEnd, 1, longestSection); err != nil {
		return err
	}
	*w = w.WithGouge(s.Gouge.Length(), s.GougeEnd.Or(DefaultGouge))
	return nil
}

// run carries the section along its length or around its pipe.
func (j Joint) run(s Section) (Volume, error) {
	z := &j.Sizes
	if !z.pipe() {
		if err := z.given(length); err != nil {
			return 0, err
		}
		return s.Along(z.Length.Length()), z.within(length, 1, longestRun)
	}
	if z.Length.Given() {
		return 0, &UncomputedError{
			Reason: UnusedSize, Field: "length", Value: z.Length.String(),
			Why: "a pipe's weld is as long as its circumference", Write: "either length, or od and wall",
		}
	}
	if err := z.bored(j.Preparation); err != nil {
		return 0, err
	}
	return s.Around(j.rootRadius(), z.Inside), nil
}

// bored checks the sizes of a pipe. What lies on its outside needs no wall.
func (s *Sizes) bored(p Preparation) error {
	if err := s.given(outside); err != nil {
		return err
	}
	if err := s.within(outside, 1, longestRun); err != nil {
		return err
	}
	if s.Inside || !onFace(p) {
		if err := s.need(wall); err != nil {
			return err
		}
	}
	if 2*s.Wall.Length() >= s.Outside.Length() {
		return impossible("wall", s.Wall.String(), "no bore is left in "+s.Outside.String(), "a wall below half of od")
	}
	return nil
}

// onFace reports whether a weld lies on the face of a part, not between parts.
func onFace(p Preparation) bool { return p == Fillet || p == Overlay }

// rootRadius returns the radius in millimetres from which a section's heights are measured:
// the far face for a butt, the near face for what lies on it.
func (j Joint) rootRadius() float64 {
	outer := j.Sizes.Outside.Length().Millimetres() / 2
	if onFace(j.Preparation) == j.Sizes.Inside {
		return outer - j.Sizes.Wall.Length().Millimetres()
	}
	return outer
}
