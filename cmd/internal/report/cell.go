package report

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"ovenward/inventory/measure"
)

// Kind is what the cells of a column are.
type Kind int

// The kinds of cell. A column of numbers or of times also holds Blank.
const (
	Words   Kind = iota
	Names        // several names
	Numbers      // whole numbers
	Instants
	Spans // elapsed times
	Heats // temperatures
	Masses
	Shares // per cent
	Flags  // yes or no
	Money
)

// kinds say of each kind how it is written where no person reads it: the suffix
// of its column's name in JSON and in CSV, its type and its unit.
var kinds = [...]struct {
	inJSON, inCSV string
	kind, unit    string
	right         bool
}{
	Words:    {"", "", "text", "", false},
	Names:    {"", "", "list", "", false},
	Numbers:  {"", "", "integer", "", true},
	Instants: {"_us", "", "instant", "µs since 1970-01-01 00:00 UTC", false},
	Spans:    {"_s", "", "duration", "s", true},
	Heats:    {"_c", "_c", "number", "°C", true},
	Masses:   {"_g", "_g", "number", "g", true},
	Shares:   {"_percent", "_percent", "number", "%", true},
	Flags:    {"", "", "boolean", "", false},
	Money:    {"", "", "text", "", true},
}

// style is how a site writes what people read.
type style struct {
	zone  *time.Location
	units measure.UnitSystem
}

// Cell is one value of a report.
type Cell interface {
	kind() Kind
	text(style) string // for a person
	flat(style) string // for a spreadsheet
	value() any        // for a program
}

type (
	word   string
	names  []string
	number int64
	moment measure.Instant // zero: none
	span   measure.Duration
	heat   measure.Temperature
	mass   measure.Mass
	share  float64
	flag   bool
	money  string
)

// Blank is what is not known or does not apply, with a word for a person.
type Blank string

func (Blank) kind() Kind          { return Words }
func (b Blank) text(style) string { return string(b) }
func (Blank) flat(style) string   { return "" }
func (Blank) value() any          { return nil }

func (word) kind() Kind          { return Words }
func (w word) text(style) string { return string(w) }
func (w word) flat(style) string { return string(w) }
func (w word) value() any        { return string(w) }

func (names) kind() Kind          { return Names }
func (n names) text(style) string { return strings.Join(n, " ") }
func (n names) flat(style) string { return strings.Join(n, " ") }
func (n names) value() any {
	if n == nil {
		return []string{}
	}
	return []string(n)
}

func (number) kind() Kind          { return Numbers }
func (n number) text(style) string { return strconv.FormatInt(int64(n), 10) }
func (n number) flat(style) string { return strconv.FormatInt(int64(n), 10) }
func (n number) value() any        { return int64(n) }

func (moment) kind() Kind { return Instants }
func (i moment) text(s style) string {
	if i == 0 {
		return ""
	}
	return clock(measure.Instant(i), s.zone)
}

func (i moment) flat(s style) string {
	if i == 0 {
		return ""
	}
	return measure.Instant(i).Time().In(s.zone).Format(time.RFC3339Nano)
}

func (i moment) value() any {
	if i == 0 {
		return nil
	}
	return int64(i)
}

func (span) kind() Kind          { return Spans }
func (d span) text(style) string { return measure.Duration(d).String() }
func (d span) flat(style) string { return measure.Duration(d).String() }
func (d span) value() any        { return measure.Duration(d).Std().Seconds() }

func (heat) kind() Kind { return Heats }
func (h heat) text(s style) string {
	return measure.Temperature(h).In(s.units)
}
func (h heat) flat(style) string { return decimal(measure.Temperature(h).InCelsius()) }
func (h heat) value() any        { return measure.Temperature(h).InCelsius() }

func (mass) kind() Kind { return Masses }
func (m mass) text(s style) string {
	if s.units == measure.US {
		return measure.Mass(m).PoundString()
	}
	return measure.Mass(m).String()
}
func (m mass) flat(style) string { return decimal(measure.Mass(m).Grams()) }
func (m mass) value() any        { return measure.Mass(m).Grams() }

func (share) kind() Kind          { return Shares }
func (p share) text(style) string { return fmt.Sprintf("%.1f %%", float64(p)) }
func (p share) flat(style) string { return decimal(float64(p)) }
func (p share) value() any        { return float64(p) }

func (flag) kind() Kind { return Flags }
func (f flag) text(style) string {
	if f {
		return "yes"
	}
	return "no"
}
func (f flag) flat(s style) string { return f.text(s) }
func (f flag) value() any          { return bool(f) }

func (money) kind() Kind          { return Money }
func (m money) text(style) string { return string(m) }
func (m money) flat(style) string { return string(m) }
func (m money) value() any        { return string(m) }

// decimal prints a number with as many decimals as it has, six at most.
func decimal(f float64) string {
	s := strconv.FormatFloat(f, 'f', 6, 64)
	return strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
}

// clock prints an instant to the minute on a site's clock, with the name of the
// clock in the hour that is there twice.
func clock(at measure.Instant, zone *time.Location) string {
	if at == 0 {
		return ""
	}
	text := at.Minute().In(zone)
	if again, err := measure.ParseInstant(text, zone); err != nil || again != at.Minute() {
		text += at.Time().In(zone).Format(" MST")
	}
	return text
}

// spanOr is an elapsed time that may not be known.
func spanOr(d measure.Duration, known bool, otherwise string) Cell {
	if !known {
		return Blank(otherwise)
	}
	return span(d)
}

// heatOr is a temperature that may not be known.
func heatOr(t measure.Temperature, known bool) Cell {
	if !known {
		return Blank("no reading")
	}
	return heat(t)
}

// massOr is a mass, or a word where there is none.
func massOr(m measure.Mass, otherwise string) Cell {
	if m == 0 {
		return Blank(otherwise)
	}
	return mass(m)
}

// amount is a number of pieces, or a mass where the stock is weighed.
func amount(pieces int64, weighed measure.Mass) Cell {
	if weighed != 0 {
		return word(weighed.String())
	}
	return word(strconv.FormatInt(pieces, 10))
}
