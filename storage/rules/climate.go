package rules

import (
	"fmt"
	"strings"

	"ovenward/inventory/measure"
	"ovenward/storage/air"
)

// AirPolicy is how readings of the air prove what it was between them.
type AirPolicy struct {
	MaxGap measure.Duration `toml:"max_gap"` // readings further apart prove nothing
	Daily  bool             `toml:"daily"`   // a store's air is read every day, or an alarm is raised
}

// ClimateRow is one band of a pair of limits: between its temperatures the air of
// a store may be as humid as it says. Rows of one authority for the same stock are
// the bands of one table; air in none of them is outside.
type ClimateRow struct {
	Meta
	Match
	Min      Temp             `toml:"min"` // not set: no lower end
	Max      Temp             `toml:"max"` // not set: no upper end
	Humidity measure.Humidity `toml:"humidity"`
}

func (r *ClimateRow) holds(t measure.Temperature) bool {
	return (!r.Min.Given() || t >= r.Min.Temperature) && (!r.Max.Given() || t <= r.Max.Temperature)
}

// between names the temperatures of the band.
func (r *ClimateRow) between() string {
	switch {
	case !r.Min.Given():
		return "up to " + r.Max.String()
	case !r.Max.Given():
		return r.Min.String() + " and more"
	}
	return r.Min.String() + " to " + r.Max.String()
}

func (r ClimateRow) says() string {
	return fmt.Sprintf("kept at %s, at no more than %s RH", r.between(), r.Humidity)
}

// ClimateLimits are the rows that speak of the store of one kind of stock.
type ClimateLimits []ClimateRow

// ClimateFor returns the rows that speak of the stock's store; none where it may
// be kept in any air.
func (s *Set) ClimateFor(sub Subject) ClimateLimits {
	var rows ClimateLimits
	for _, r := range s.Climate {
		if r.Matches(sub) {
			rows = append(rows, r)
		}
	}
	return rows
}

// Outside returns why air is outside the limits, empty where it is not. Where two
// bands meet both speak, so that the drier one counts; every authority that has a
// table must have a band for the air.
func (l ClimateLimits) Outside(a air.Air) string {
	var unheld []string
	held := map[Authority]bool{}
	for i := range l {
		r := &l[i]
		if !r.holds(a.Temp) {
			continue
		}
		held[r.Authority] = true
		if a.RH > r.Humidity {
			return fmt.Sprintf("%s RH at %s, at most %s (%s)", a.RH, a.Temp, r.Humidity, r.Row)
		}
	}
	for i := range l {
		if !held[l[i].Authority] {
			unheld = append(unheld, l[i].between())
		}
	}
	if len(unheld) > 0 {
		return fmt.Sprintf("%s, kept at %s", a.Temp, strings.Join(unheld, ", or "))
	}
	return ""
}

// Names returns the rows' names, joined.
func (l ClimateLimits) Names() string {
	names := make([]string, len(l))
	for i, r := range l {
		names[i] = r.Row
	}
	return strings.Join(names, "+")
}

// Sources returns where the rows come from, each once.
func (l ClimateLimits) Sources() string {
	var all []string
	seen := map[string]bool{}
	for _, r := range l {
		if !seen[r.Source] {
			all = append(all, r.Source)
		}
		seen[r.Source] = true
	}
	return strings.Join(all, "; ")
}

// String says the limits as a person reads a table.
func (l ClimateLimits) String() string {
	words := make([]string, len(l))
	for i := range l {
		words[i] = fmt.Sprintf("%s: at most %s RH", l[i].between(), l[i].Humidity)
	}
	return strings.Join(words, "; ")
}
