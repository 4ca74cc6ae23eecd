package joint

import "ovenward/inventory/measure"

// CapOrigin is where the size of a cap comes from.
type CapOrigin string

// The origins of a cap.
const (
	NoCap      CapOrigin = "none"                // no height given: filled flush
	StatedCap  CapOrigin = "stated"              // height and width from the plan
	GrooveCap  CapOrigin = "width of the groove" // width by geometry, no overlap on the plate
	FilletFace CapOrigin = "face of the fillet"  // convex or concave across the whole face
)

// Weld is the weld metal of one joint, without any allowance.
type Weld struct {
	Section Section
	Volume  Volume
	Cap     CapOrigin
}

// Weld computes the weld metal of one of the joint's equal welds, the quantity
// not counted. The error is an *UncomputedError.
func (j Joint) Weld() (Weld, error) {
	s, err := j.section()
	if err != nil {
		return Weld{}, err
	}
	w := Weld{Section: s, Cap: NoCap}
	if w.Section, w.Cap, err = j.capped(s); err != nil {
		return Weld{}, err
	}
	if w.Section.Area() <= 0 {
		return Weld{}, impossible("prep", string(j.Preparation), "its sizes leave no room for weld metal",
			"a larger opening or leg, or a cap")
	}
	w.Volume, err = j.run(w.Section)
	return w, err
}

// capped puts the cap on.
func (j Joint) capped(s Section) (Section, CapOrigin, error) {
	h, w := j.Sizes.CapHeight, j.Sizes.CapWidth
	if err := j.checkCapHeight(); err != nil {
		return s, NoCap, err
	}
	switch {
	case h.Length == 0: // also when it is not given
		return s, NoCap, refuse("a weld without cap_height", named{name: "cap_width", size: w})
	case j.Preparation == Fillet:
		return s.WithCap(s.Face, h.Length), FilletFace, nil
	case w.Given:
		return s.WithCap(w.Length, h.Length), StatedCap, j.checkCapWidth(s.Face)
	case j.Preparation == SingleV:
		return s.WithCap(s.Face, h.Length), GrooveCap, nil
	}
	return s, NoCap, require(longestSection,
		named{"cap_width", w, "the width of the cap: that of a square butt is not its opening"})
}

// checkCapHeight lets a fillet alone be concave.
func (j Joint) checkCapHeight() error {
	least := measure.Length(0)
	if j.Preparation == Fillet {
		least = -longestSection
	}
	n := named{"cap_height", j.Sizes.CapHeight, "the height of the reinforcement, such as 1/16 in or 2 mm"}
	return within(n, least, longestSection)
}

func (j Joint) checkCapWidth(face measure.Length) error {
	n := named{"cap_width", j.Sizes.CapWidth, "the width of the cap, or nothing for the groove's own"}
	if n.size.Length < face {
		return impossible(n.name, n.size.String(), "less than the face of the groove, "+face.String(), n.hint)
	}
	return within(n, 1, longestSection)
}

// run carries the section along its length or around its pipe.
func (j Joint) run(s Section) (Volume, error) {
	z := j.Sizes
	if !z.pipe() {
		err := require(longestRun, named{"length", z.Length, "the length of the weld, or od and wall for a pipe"})
		return s.Along(z.Length.Length), err
	}
	if z.Length.Given {
		return 0, &UncomputedError{
			Reason: UnusedSize, Field: "length", Value: z.Length.String(),
			Why: "a pipe's weld is as long as its circumference", Write: "either length, or od and wall",
		}
	}
	err := require(longestRun,
		named{"od", z.Outside, "the outside diameter, such as 168.3 mm, not the nominal pipe size"},
		named{"wall", z.Wall, wallHint})
	if err != nil {
		return 0, err
	}
	if 2*z.Wall.Length >= z.Outside.Length {
		return 0, impossible("wall", z.Wall.String(), "no bore is left in "+z.Outside.String(),
			"a wall below half of od")
	}
	return s.Around(z.Outside.Length, z.Wall.Length), nil
}
