package joint

import "fmt"

// capped puts the cap on the near face.
func (j Joint) capped(w *Weld) error {
	z := &j.Sizes
	least := -longestSection
	if j.Preparation != Fillet { // a fillet alone may be concave
		least = 0
	}
	if err := z.within(capHeight, least, longestSection); err != nil {
		return err
	}
	h := z.CapHeight.Length()
	if h == 0 { // also when it is not given
		return z.widthAlone(capWidth, capHeight)
	}
	across := w.Section.Face
	switch {
	case j.Preparation == Fillet:
		w.Cap = FilletFace
	case z.CapWidth.Given():
		if w.Cap, across = StatedCap, z.CapWidth.Length(); across < w.Section.Face {
			return z.impossible(capWidth, "less than the face of the groove, "+w.Section.Face.String())
		}
	case j.Preparation == SquareButt:
		return z.given(capWidth)
	default:
		w.Cap = GrooveCap
	}
	if err := z.round(capHeight, across.Millimetres()); err != nil {
		return err
	}
	w.Section = w.Section.WithCap(z.CapForm, across, h)
	return z.within(capWidth, 1, longestSection)
}

// rooted puts the reinforcement on the far face.
func (j Joint) rooted(w *Weld) error {
	z := &j.Sizes
	if err := z.within(rootHeight, 0, longestSection); err != nil {
		return err
	}
	h := z.RootHeight.Length()
	switch {
	case h == 0:
		return z.widthAlone(rootWidth, rootHeight)
	case z.Backing:
		return unused(rootHeight.String(), z.RootHeight.String(), "the backing lies there")
	}
	across := z.RootWidth.Or(w.Section.FarFace)
	switch {
	case z.RootWidth.Given():
		if w.Root = StatedCap; across < w.Section.FarFace {
			return z.impossible(rootWidth, "less than the far face, "+w.Section.FarFace.String())
		}
	case w.Section.Far.Area > 0 || w.Section.Gouge.Area > 0:
		w.Root = GrooveCap
	default:
		w.Root = OpenRoot
		across += rootOverlap
	}
	if err := z.round(rootHeight, across.Millimetres()); err != nil {
		return err
	}
	w.Section = w.Section.WithRoot(z.CapForm, across, h)
	return z.within(rootWidth, 1, longestSection)
}

// widthAlone refuses the width of a reinforcement that has no height.
func (s *Sizes) widthAlone(w, h Field) error {
	if size := *s.At(w); size.Given() && size.Length() != 0 {
		return unused(w.String(), size.String(), fmt.Sprintf("there is no %s", h))
	}
	return nil
}

// round checks that a cap that is a segment of a circle is at most half of one.
func (s *Sizes) round(h Field, across float64) error {
	if high := max(s.At(h).Length(), -s.At(h).Length()).Millimetres(); s.CapForm == Segment && high > across/2 {
		return s.impossible(h, fmt.Sprintf("more than half of its width, %.1f mm", across))
	}
	return nil
}
