// Package measure holds the quantities of the trade as whole numbers in small
// units, and reads and prints them the way people write them.
//
// A quantity is never a bare number at the edge: "120" is refused where a
// temperature is asked for, "120 C" and "250F" are not. Conversions between US
// and SI units are exact, because each type counts a unit that both systems
// divide: nanometres (1/64 in is 396 875 nm), micrograms (1 lb is
// 453 592 370 µg) and 1/900 °C (0.01 °C is 9 of them, 0.01 °F is 5).
package measure

import (
	"fmt"
	"math/big"
	"strings"
)

// UnitError reports text that is not a quantity of the asked kind. It names
// the value, what is wrong with it and how to write it.
type UnitError struct {
	Kind  string // "length", "mass", "temperature", "duration", "instant", "date", "week"
	Value string // the text as given
	Why   string // what is wrong
	Write string // how to write it instead
}

// Error returns the whole sentence.
func (e *UnitError) Error() string {
	return fmt.Sprintf("%s %q: %s; write %s", e.Kind, e.Value, e.Why, e.Write)
}

// fold makes text comparable: trimmed, no-break spaces as spaces, the several
// degree signs and prime marks as their plain forms.
func fold(s string) string {
	return strings.TrimSpace(replacer.Replace(s))
}

var replacer = strings.NewReplacer(
	"\u00a0", " ", "\u2009", " ", "\u202f", " ",
	"\u00ba", "°", "\u2103", "°C", "\u2109", "°F", "\u2033", `"`, "\u201d", `"`, "\u2032", "'", "\u2019", "'",
	"\u2212", "-", "\u2044", "/", "½", " 1/2", "¼", " 1/4", "¾", " 3/4",
)

// split parts text into its number and its unit: "1 1/2 in" into "1 1/2" and
// "in", "250F" into "250" and "F".
func split(s string) (number, unit string) {
	i := strings.IndexFunc(s, func(r rune) bool {
		return (r < '0' || r > '9') && !strings.ContainsRune("+-.,/ ", r)
	})
	if i < 0 {
		return strings.TrimSpace(s), ""
	}
	return strings.TrimSpace(s[:i]), strings.TrimSpace(s[i:])
}

// unitTable maps the ways a unit is written (lower case) to its size.
type unitTable map[string]*big.Rat

// parse reads a number with a unit of the table.
func (t unitTable) parse(kind, text, write string) (int64, error) {
	number, unit := split(fold(text))
	fail := func(why string) (int64, error) {
		return 0, &UnitError{Kind: kind, Value: text, Why: why, Write: write}
	}
	r, why := rational(number)
	if why != "" {
		return fail(why)
	}
	if unit == "" {
		return fail("no unit")
	}
	size, ok := t[strings.ToLower(unit)]
	if !ok {
		return fail(fmt.Sprintf("unknown unit %q", unit))
	}
	n, ok := scale(r, size)
	if !ok {
		return fail("too large")
	}
	return n, nil
}

// trimDecimal prints n/per with at most places decimals, the last rounded half
// away from zero, and no trailing zeros.
func trimDecimal(n, per int64, places int) string { return trimRat(big.NewRat(n, per), places) }

func trimRat(r *big.Rat, places int) string {
	s := r.FloatString(places)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}
