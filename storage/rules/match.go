package rules

import (
	"slices"
	"strings"

	"ovenward/inventory"
	"ovenward/inventory/designation"
)

// Presence asks whether a mark is printed.
type Presence string

// With and Without ask for the presence and the absence of a mark; empty asks
// for nothing.
const (
	With    Presence = "with"
	Without Presence = "without"
)

// Range is a closed range of whole numbers; zero as Max is no upper end.
type Range struct {
	Min int `toml:"min"`
	Max int `toml:"max"`
}

func (r Range) holds(n int) bool { return n >= r.Min && (r.Max == 0 || n <= r.Max) }

func (r Range) meets(o Range) bool {
	return (r.Max == 0 || o.Min <= r.Max) && (o.Max == 0 || r.Min <= o.Max)
}

// Match says which stock a row speaks of. What is left out matches all.
type Match struct {
	Spec         []designation.Spec   `toml:"spec"`
	Family       []designation.Family `toml:"family"`
	StrengthKSI  Range                `toml:"strength_ksi"`
	MoistureMark Presence             `toml:"moisture_mark"` // R: moisture resistance, not the hydrogen mark
	Military     Presence             `toml:"military"`      // M behind the covering digits
	Classes      []string             `toml:"classes"`       // canonical marks
	Packages     []inventory.Package  `toml:"packages"`
	Products     []string             `toml:"products"` // maker's names, of the product or of himself
}

// Subject is the stock that a rule is looked up for.
type Subject struct {
	Mark    designation.Mark
	Package inventory.Package
	Tight   bool
	Maker   string
	Product string
}

// Matches reports whether the row speaks of the stock.
func (m Match) Matches(s Subject) bool {
	return among(m.Spec, s.Mark.Spec) &&
		among(m.Family, s.Mark.Family) &&
		(m.StrengthKSI == Range{} || (s.Mark.StrengthKSI != 0 && m.StrengthKSI.holds(s.Mark.StrengthKSI))) &&
		m.MoistureMark.agrees(s.Mark.R) &&
		m.Military.agrees(s.Mark.M) &&
		among(m.Classes, s.Mark.Canonical) &&
		among(m.Packages, s.Package) &&
		(len(m.Products) == 0 || named(m.Products, s.Product) || named(m.Products, s.Maker))
}

// overlaps reports whether some stock could match both.
func (m Match) overlaps(o Match) bool {
	return meet(m.Spec, o.Spec) && meet(m.Family, o.Family) && m.StrengthKSI.meets(o.StrengthKSI) &&
		m.MoistureMark.meets(o.MoistureMark) && m.Military.meets(o.Military) &&
		meet(m.Classes, o.Classes) && meet(m.Packages, o.Packages) &&
		(len(m.Products) == 0 || len(o.Products) == 0 ||
			slices.ContainsFunc(m.Products, func(v string) bool { return named(o.Products, v) }))
}

// named reports whether a name is on a list. People write a trade name in
// capitals or not: a row that misses its product for that would not tighten.
func named(list []string, name string) bool {
	name = strings.TrimSpace(name)
	return name != "" && slices.ContainsFunc(list, func(v string) bool { return strings.EqualFold(v, name) })
}

func (m Presence) agrees(printed bool) bool {
	return m == "" || (m == With) == printed
}

func (m Presence) meets(o Presence) bool { return m == "" || o == "" || m == o }

func among[T comparable](list []T, v T) bool {
	return len(list) == 0 || slices.Contains(list, v)
}

func meet[T comparable](a, b []T) bool {
	if len(a) == 0 || len(b) == 0 {
		return true
	}
	return slices.ContainsFunc(a, func(v T) bool { return slices.Contains(b, v) })
}
