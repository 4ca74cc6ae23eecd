package terms

import (
	"fmt"
	"regexp"

	"ovenward/inventory/designation"
)

// The letters and figures of the procurement guideline (AWS A5.01, ISO 14344),
// as they are known from memory: compare them with the shop's own edition. The
// first figure or letter of a schedule is the maker's normal testing, the last
// is what the buyer states.
var (
	lotClassForm = regexp.MustCompile(`^(?:C[1-5]|S[1-5]|T[1-4]|F[12])$`)
	scheduleForm = regexp.MustCompile(`^[1-6F-K]$`)
)

// letter is the letter of the lot classes of a consumable.
func letter(m designation.Mark) byte {
	switch m.Family {
	case designation.SolidWire:
		return 'S'
	case designation.CoredWire:
		return 'T'
	case designation.SAWFlux:
		return 'F'
	default:
		return 'C'
	}
}

// check says what of the words cannot be asked for with a class.
func (a Ask) check(class string) error {
	m, err := designation.Parse(class, "")
	switch {
	case a.LotClass == "" && a.Schedule == "":
		return nil
	case a.LotClass != "" && !lotClassForm.MatchString(a.LotClass):
		return fmt.Errorf("lot_class %q: write C1 to C5 for covered rods, S1 to S5 for solid wire, T1 to T4 for tubular wire, F1 or F2 for flux", a.LotClass)
	case a.LotClass != "" && err == nil && a.LotClass[0] != letter(m):
		return fmt.Errorf("lot_class %q: those of %s begin with %c", a.LotClass, class, letter(m))
	case a.Schedule != "" && !scheduleForm.MatchString(a.Schedule):
		return fmt.Errorf("schedule %q: write 1 to 6 or F to K", a.Schedule)
	case (a.Schedule == "6" || a.Schedule == "K") && a.Tests == "":
		return fmt.Errorf("schedule %q is what the buyer states: write the tests that are asked for as tests", a.Schedule)
	}
	return nil
}

// Spec returns the specification to ask for: the one set, else that of the
// class, else nothing.
func (a Ask) Spec(class string) string {
	if a.Specification != "" {
		return a.Specification
	}
	m, err := designation.Parse(class, "")
	if err != nil {
		return ""
	}
	if m.Spec[0] == 'A' {
		return "AWS " + string(m.Spec)
	}
	return string(m.Spec)
}
