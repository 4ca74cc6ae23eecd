package joint

import (
	"fmt"

	"ovenward/inventory/measure"
)

// Limits that catch a unit written wrong. No plate, leg or opening is as long
// as a metre, and no joint is as long as 100 km.
const (
	longestSection = 1 * measure.Metre
	longestRun     = 100_000 * measure.Metre
)

// need checks sizes that must be given and above zero.
func (s *Sizes) need(all ...Field) error {
	for _, f := range all {
		if err := s.given(f); err != nil {
			return err
		}
		if err := s.within(f, 1, longestSection); err != nil {
			return err
		}
	}
	return nil
}

// given checks that a size is given.
func (s *Sizes) given(f Field) error {
	if s.At(f).Given() {
		return nil
	}
	return &UncomputedError{Reason: MissingSize, Field: f.String(), Why: "not given", Write: f.hint()}
}

// within checks a size against its limits where it is given.
func (s *Sizes) within(f Field, least, most measure.Length) error {
	size := *s.At(f)
	if !size.Given() || (size.Length() >= least && size.Length() <= most) {
		return nil
	}
	why := fmt.Sprintf("more than %s", most)
	if size.Length() < least {
		why = "not above zero"
		if least == 0 {
			why = "below zero"
		}
	}
	return s.impossible(f, why)
}

func (s *Sizes) impossible(f Field, why string) error {
	return impossible(f.String(), s.At(f).String(), why, f.hint())
}

func unused(field, value, why string) error {
	return &UncomputedError{
		Reason: UnusedSize, Field: field, Value: value, Why: why, Write: "nothing there, or another preparation",
	}
}

func impossible(field, value, why, write string) error {
	return &UncomputedError{Reason: ImpossibleSize, Field: field, Value: value, Why: why, Write: write}
}

// widestV bounds an included angle: beyond it a V is a slip of the pen.
const widestV Angle = 170

// included checks an angle of a groove that must be given.
func included(column string, a, most Angle) error {
	hint := "the included angle of a V or U, both walls together, or that of the one wall of a bevel or J; such as 45 deg"
	switch {
	case a == 0:
		return &UncomputedError{Reason: MissingSize, Field: column, Why: "not given", Write: hint}
	case !(a > 0 && a <= most): // in this form NaN fails too
		return impossible(column, a.String(), "not between 0 and "+most.String(), hint)
	}
	return nil
}
