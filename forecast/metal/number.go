package metal

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// numberIn reads a number with one of the units, as tables print it. The error
// names what it is of, the text, and what to write.
func numberIn[U ~string](what, s, write string, units ...U) (float64, U, error) {
	number, unit, _ := strings.Cut(strings.TrimSpace(s), " ")
	u := U(strings.TrimSpace(unit))
	if !slices.Contains(units, u) {
		return 0, u, fmt.Errorf("%s %q: no unit that is known; write %s", what, s, write)
	}
	v, err := strconv.ParseFloat(number, 64)
	if err != nil {
		return 0, u, fmt.Errorf("%s %q: not a number; write %s", what, s, write)
	}
	return v, u, nil
}
