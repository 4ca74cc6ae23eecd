package bake

import (
	"fmt"

	"ovenward/storage/rules"
)

// WindowError reports two recipes that no bake can keep at once.
type WindowError struct {
	A, B rules.BakeRow
	Why  string // what they have not in common
}

// Error names both windows.
func (e *WindowError) Error() string {
	return fmt.Sprintf("bake rows %s (%s) and %s (%s): %s; QA asks the maker for a recipe inside the code's",
		e.A.Row, window(e.A), e.B.Row, window(e.B), e.Why)
}

// Window returns the recipe that keeps both rows, such as the code's and the
// maker's: the narrower range, the longer soak and pre-soak, the shorter
// longest soak, the lower pre-soak temperature. It speaks of the stock that a
// matches, with a's authority; its name and source are both rows', its status
// that of the less known. The error is a *WindowError when no bake can keep
// both.
func Window(a, b rules.BakeRow) (rules.BakeRow, error) {
	w := a
	w.Row, w.Source, w.Status = a.Row+"+"+b.Row, a.Source+"; "+b.Source, lessKnown(a.Status, b.Status)
	if b.Min.Temperature > a.Min.Temperature {
		w.Min = b.Min
	}
	if b.Max.Given() && (!a.Max.Given() || b.Max.Temperature < a.Max.Temperature) {
		w.Max = b.Max
	}
	w.Soak, w.Presoak = max(a.Soak, b.Soak), max(a.Presoak, b.Presoak)
	w.SoakMax = tighter(a.SoakMax, b.SoakMax)
	w.PresoakPercent = tighter(a.PresoakPercent, b.PresoakPercent)
	switch {
	case w.Max.Given() && w.Min.Temperature > w.Max.Temperature:
		return rules.BakeRow{}, &WindowError{A: a, B: b, Why: "no temperature in common"}
	case w.SoakMax != 0 && w.Soak > w.SoakMax:
		return rules.BakeRow{}, &WindowError{A: a, B: b, Why: "no length of soak in common"}
	}
	return w, nil
}

// tighter returns the smaller limit; zero is none.
func tighter[T ~int64](a, b T) T {
	if a == 0 || b == 0 {
		return max(a, b)
	}
	return min(a, b)
}

func lessKnown(a, b rules.Status) rules.Status {
	order := []rules.Status{rules.Memory, rules.SingleSource, rules.Shop}
	for _, s := range order {
		if a == s || b == s {
			return s
		}
	}
	return rules.Confirmed
}

// window prints "300 C to 350 C for 2 h to 2 h 30 min".
func window(r rules.BakeRow) string {
	text := r.Min.String() + " and more"
	if r.Max.Given() {
		text = fmt.Sprintf("%s to %s", r.Min, r.Max)
	}
	text += " for " + words(r.Soak)
	if r.SoakMax != 0 {
		text += " to " + words(r.SoakMax)
	}
	return text
}
