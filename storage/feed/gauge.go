package feed

import (
	"errors"
	"strings"

	"ovenward/inventory/measure"
	"ovenward/inventory/sheet"
)

var errNoUnit = errors.New(`no unit; write it in the header, as in "temp (C)", or give it in the mapping`)

// gauge reads temperatures.
type gauge struct {
	unit         string // "C" or "F" of bare numbers; empty: a bare number is refused
	decimalComma bool   // a comma is a decimal mark even before three digits
}

// read reads a temperature exactly as measure.ParseTemperature does, which it
// asks wherever the cell is not a plain decimal.
func (g *gauge) read(cell []byte) (measure.Temperature, error) {
	if d, rest, ok := parseDecimal(cell); ok && (g.decimalComma || !d.mayBeThousands()) {
		if unit := g.suffix(rest); unit != "" {
			if t := d.temperature(unit); t >= measure.AbsoluteZero {
				return t, nil
			}
		}
	}
	s := sheet.Text(cell)
	if g.decimalComma {
		s = strings.Replace(s, ",", ".", 1)
	}
	if endsBare(cell) {
		if g.unit == "" {
			return 0, errNoUnit
		}
		s += " " + g.unit
	}
	return measure.ParseTemperature(s)
}

// suffix returns the unit of a number by the text behind it, or nothing where
// that is not one of the usual ways.
func (g *gauge) suffix(rest []byte) string {
	switch string(rest) {
	case "":
		return g.unit
	case "C", " C", "°C", " °C":
		return "C"
	case "F", " F", "°F", " °F":
		return "F"
	}
	return ""
}

// endsBare reports whether a cell ends without a unit.
func endsBare(cell []byte) bool {
	if len(cell) == 0 {
		return false
	}
	b := cell[len(cell)-1]
	return b >= '0' && b <= '9' || b == '.' || b == ','
}

// decimal is a number in whole parts of one.
type decimal struct {
	parts int64 // below 10^15
	of    int64 // parts in one: 1, 10, 100 ...
	comma bool  // the decimal mark is a comma
}

// mayBeThousands reports whether it is written like 1,500. Package measure
// knows which of these are decimals all the same.
func (d decimal) mayBeThousands() bool { return d.comma && d.of == 1000 }

// parseDecimal reads digits, with a point or comma between them or without, up
// to 15 of them; ok is false for anything else in front.
func parseDecimal(b []byte) (d decimal, rest []byte, ok bool) {
	const most = 15
	i, digits, point := 0, 0, -1
	negative := len(b) > 0 && b[0] == '-'
	if negative {
		i++
	}
	start := i
	d.of = 1
	for ; i < len(b); i++ {
		c := b[i]
		switch {
		case c >= '0' && c <= '9':
			d.parts = d.parts*10 + int64(c-'0')
			digits++
			if point >= 0 {
				d.of *= 10
			}
			if digits > most {
				return d, nil, false
			}
			continue
		case (c == '.' || c == ',') && point < 0 && i > start:
			point, d.comma = i, c == ','
			continue
		}
		break
	}
	if digits == 0 || point == i-1 {
		return d, nil, false
	}
	if negative {
		d.parts = -d.parts
	}
	return d, b[i:], true
}

// temperature rounds half away from zero to the whole number that the type
// counts, as package measure does.
func (d decimal) temperature(unit string) measure.Temperature {
	parts, size := d.parts, int64(measure.Degree)
	if unit == "F" {
		parts, size = parts-32*d.of, int64(measure.FahrenheitDegree)
	}
	half := d.of
	if parts < 0 {
		half = -half
	}
	return measure.Temperature((2*parts*size + half) / (2 * d.of))
}
