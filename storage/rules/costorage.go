package rules

import (
	"fmt"
	"slices"
	"strings"

	"ovenward/inventory"
	"ovenward/inventory/designation"
	"ovenward/inventory/measure"
)

// CoStorageRow names stock that must not be put in a kind of place; or stock
// that must not be in one such place together: with other families, with another
// class, or never-baked with baked.
type CoStorageRow struct {
	Meta
	Match
	Places     []inventory.PlaceKind `toml:"places"`
	WithFamily []designation.Family  `toml:"with_family"`
	Apart      Apart                 `toml:"apart"`
	From       Temp                  `toml:"from"` // only where it is this hot or hotter; not set: always
	Warn       bool                  `toml:"warn"` // only says so
	Why        string                `toml:"why"`
}

// Apart says what about two bundles of stock must be the same where a row lets
// them be in one place. Empty asks nothing.
type Apart string

// The ways of keeping stock apart.
const (
	ByClass Apart = "class"
	ByBakes Apart = "bakes" // rods that were in a bake oven from those that never were
)

// pairs reports whether the row speaks of two bundles in one place.
func (r *CoStorageRow) pairs() bool { return len(r.WithFamily) > 0 || r.Apart != "" }

// Barred returns the row that keeps stock out of a kind of place, or nil.
func (s *Set) Barred(sub Subject, kind inventory.PlaceKind) *CoStorageRow {
	for i := range s.CoStorage {
		row := &s.CoStorage[i]
		if !row.pairs() && row.Matches(sub) && among(row.Places, kind) {
			return row
		}
	}
	return nil
}

// Beside is stock in a place, beside which other stock may be put.
type Beside struct {
	Subject
	Baked bool // it was in a bake oven, or was split from what was
}

// Apart returns the rows that speak of what may be in one place of a kind
// together.
func (s *Set) Apart(kind inventory.PlaceKind) []*CoStorageRow {
	var rows []*CoStorageRow
	for i := range s.CoStorage {
		if row := &s.CoStorage[i]; row.pairs() && among(row.Places, kind) {
			rows = append(rows, row)
		}
	}
	return rows
}

// Parts reports whether the row keeps two bundles apart in a place that is as
// hot as given. It does not matter which of them was there first.
func (r *CoStorageRow) Parts(a, b Beside, hot measure.Temperature) bool {
	switch {
	case r.From.Given() && hot < r.From.Temperature:
		return false
	case len(r.WithFamily) > 0:
		return r.parts(a, b) || r.parts(b, a)
	case r.Apart == ByClass:
		return (r.Matches(a.Subject) || r.Matches(b.Subject)) && a.Mark.Canonical != b.Mark.Canonical
	case r.Apart == ByBakes:
		return r.Matches(a.Subject) && r.Matches(b.Subject) && a.Baked != b.Baked
	}
	return false
}

func (r *CoStorageRow) parts(a, b Beside) bool {
	return r.Matches(a.Subject) && slices.Contains(r.WithFamily, b.Mark.Family)
}

func (r CoStorageRow) says() string {
	places := fmt.Sprintf("a %s: %s", kinds(r.Places), r.Why)
	says := "not in " + places
	switch {
	case len(r.WithFamily) > 0:
		with := make([]string, len(r.WithFamily))
		for i, f := range r.WithFamily {
			with[i] = string(f)
		}
		says = fmt.Sprintf("not with %s in %s", strings.Join(with, ", "), places)
	case r.Apart == ByClass:
		says = "one class only in " + places
	case r.Apart == ByBakes:
		says = "baked apart from never baked in " + places
	}
	if r.From.Given() {
		says += fmt.Sprintf(" (at %s or more)", r.From)
	}
	if r.Warn {
		says += " (a warning)"
	}
	return says
}

func kinds(places []inventory.PlaceKind) string {
	out := make([]string, len(places))
	for i, k := range places {
		out[i] = string(k)
	}
	return strings.Join(out, ", ")
}

func (c *checker) coStorage(r CoStorageRow) {
	c.places(r.Row, r.Places)
	each(c, r.Row, "with_family", r.WithFamily, families())
	known(c, r.Row, "apart", r.Apart, []Apart{"", ByClass, ByBakes})
	switch {
	case r.Apart != "" && len(r.WithFamily) > 0:
		c.fault(r.Row, "with_family and apart are two rules: write a row for each")
	case !r.pairs() && (r.Warn || r.From.Given()):
		c.fault(r.Row, "warn and from belong to a row with with_family or apart")
	}
}

// places checks that a row names kinds of place.
func (c *checker) places(row string, places []inventory.PlaceKind) {
	if len(places) == 0 {
		c.fault(row, "places is missing: name the kinds of place, such as \"holding oven\"")
	}
	for _, p := range places {
		known(c, row, "places", p, placeKinds())
	}
}
