package rules

import (
	"fmt"
	"strings"

	"ovenward/inventory/measure"
	"ovenward/storage/air"
)

// ColumnBRow allows a longer exposure than the exposure row, up to what a test of
// the maker's rods of the class has shown, while the air is no more humid than
// that of the test.
type ColumnBRow struct {
	Meta
	Match
	Over        measure.Duration `toml:"over"`         // a test of no more than this allows nothing
	Max         measure.Duration `toml:"max"`          // nor does a longer test allow more than this
	MoistureMax measure.Content  `toml:"moisture_max"` // of the covering after the test; zero: the report says enough
}

// Report is a test of one maker's rods of one class as it stands in force.
type Report struct {
	Reference string
	Maker     string
	Class     string // the mark as the program prints it
	Hours     measure.Duration
	Air       air.Air         // of the test
	Moisture  measure.Content // of the covering after the test; negative: the report does not say
	From      measure.Instant // when it was recorded
	Until     measure.Instant // when it ceases to count; zero: it does not
}

// InForce reports whether the report counts at an instant.
func (r *Report) InForce(at measure.Instant) bool {
	return r != nil && at >= r.From && (r.Until == 0 || at < r.Until)
}

func (r ColumnBRow) says() string {
	says := fmt.Sprintf("more than %s up to %s, as tested", r.Over.Words(), r.Max.Words())
	if r.MoistureMax > 0 {
		says += fmt.Sprintf(" to keep the covering at %s or less", r.MoistureMax)
	}
	return says
}

// Allows returns the exposure that a report allows, and in words why it allows
// none where that is zero.
func (r *ColumnBRow) Allows(t *Report) (measure.Duration, string) {
	switch {
	case t.Hours <= r.Over:
		return 0, fmt.Sprintf("report %s is of %s, column B begins above %s", t.Reference, t.Hours.Words(), r.Over.Words())
	case r.MoistureMax > 0 && t.Moisture > r.MoistureMax:
		return 0, fmt.Sprintf("report %s found %s of moisture, at most %s", t.Reference, t.Moisture, r.MoistureMax)
	}
	return min(t.Hours, r.Max), ""
}

// otherLimit returns the shortest exposure limit of the authorities that a column B
// row does not speak for, zero where there is none: a code's test does not loosen
// what a maker or an owner asks.
func (s *Set) otherLimit(sub Subject, b *ColumnBRow) measure.Duration {
	var shortest measure.Duration
	for i := range s.Exposure {
		e := &s.Exposure[i]
		if b == nil || e.Clock == NoClock || e.Authority == b.Authority || !e.Matches(sub) {
			continue
		}
		if shortest == 0 || e.Limit < shortest {
			shortest = e.Limit
		}
	}
	return shortest
}

// SameMaker reports whether two names of a maker are one, in any case and
// however spaced.
func SameMaker(a, b string) bool {
	plain := func(s string) string { return strings.Join(strings.Fields(s), " ") }
	return strings.EqualFold(plain(a), plain(b))
}
