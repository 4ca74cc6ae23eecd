package feed

import (
	"cmp"

	"ovenward/inventory/measure"
	"ovenward/inventory/sheet"
)

// ReadTemperature reads a temperature as a logger sends it: a unit behind the
// number goes before the one that is sent beside it, and that before the usual one.
// The error says that there is none, or what is wrong with the number.
func ReadTemperature(text, beside, usual string) (measure.Temperature, error) {
	unit, err := parseUnit(cmp.Or(beside, usual))
	if err != nil {
		return 0, err
	}
	g := gauge{unit: unit}
	return g.read(sheet.Trim([]byte(text)))
}
