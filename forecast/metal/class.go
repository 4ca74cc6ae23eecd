package metal

import (
	"fmt"
	"strings"

	"ovenward/inventory/designation"
)

// FoldClass makes classes comparable: the printed form of the classification, so
// that "e7018-1h4r" and "E7018-1 H4 R" are one class. Text that is no
// classification, such as a trade name, keeps its letters in capitals.
func FoldClass(s string) string {
	if marks := designation.Candidates(s); len(marks) > 0 {
		return marks[0].Canonical
	}
	return strings.ToUpper(strings.Join(strings.Fields(s), " "))
}

// BaseClass returns the class whose rows serve where the class has none of its
// own: the class without its marks for hydrogen, moisture and toughness (H4, R,
// -1), which do not change how much of a rod becomes weld metal.
func BaseClass(class string) string {
	marks := designation.Candidates(class)
	if len(marks) == 0 {
		return class
	}
	m := marks[0]
	base := m.Canonical
	if m.R {
		base = strings.TrimSuffix(base, "R")
	}
	if m.Hydrogen > 0 {
		base = strings.TrimRight(strings.TrimSuffix(base, fmt.Sprintf("H%d", m.Hydrogen)), " -")
	}
	if m.One {
		base = strings.TrimSuffix(base, "-1")
	}
	return base
}
