package measure

import (
	"math/big"
	"strings"
)

// Temperature is a temperature in units of 1/900 °C, counted from 0 °C. A
// hundredth of a degree is a whole number of them in both scales (9 in
// Celsius, 5 in Fahrenheit), so 250 °F is compared as 250 °F and not as a
// rounded 121.1 °C.
type Temperature int64

// Degree is one degree Celsius, FahrenheitDegree one degree Fahrenheit, both
// as differences.
const (
	Degree           Temperature = 900
	FahrenheitDegree Temperature = 500

	freezing = 32 // °F at 0 °C
)

// Celsius returns the temperature of c whole degrees Celsius.
func Celsius(c int64) Temperature { return Temperature(c) * Degree }

// Fahrenheit returns the temperature of f whole degrees Fahrenheit.
func Fahrenheit(f int64) Temperature { return Temperature(f-freezing) * FahrenheitDegree }

// AbsoluteZero is -273.15 °C; nothing is colder.
const AbsoluteZero Temperature = -27315 * Degree / 100

const writeTemperature = "a number with C or F, such as 120 C or 250 F"

// ParseTemperature reads "250F", "250 °F", "120 C", "121.1 °C". The error is
// a *UnitError; a bare number and anything below absolute zero are refused.
func ParseTemperature(s string) (Temperature, error) {
	t, why := degrees(s, true)
	if why == "" && t < AbsoluteZero {
		why = "below absolute zero"
	}
	if why != "" {
		return 0, &UnitError{Kind: "temperature", Value: s, Why: why, Write: writeTemperature}
	}
	return t, nil
}

// ParseTemperatureDifference reads a difference of temperatures such as a
// sensor's error, "2 C" or "-3.5 F", without the 32 degree offset.
func ParseTemperatureDifference(s string) (Temperature, error) {
	t, why := degrees(s, false)
	if why != "" {
		return 0, &UnitError{Kind: "temperature difference", Value: s, Why: why, Write: writeTemperature}
	}
	return t, nil
}

// degrees reads a number of degrees, or says why it is none. On a scale, and not
// in a difference, Fahrenheit counts from its own zero.
func degrees(s string, onScale bool) (Temperature, string) {
	number, unit := split(fold(s))
	r, why := rational(number)
	if why != "" {
		return 0, why
	}
	size, why := degreeUnit(unit)
	if why != "" {
		return 0, why
	}
	if onScale && size == FahrenheitDegree {
		r.Sub(r, big.NewRat(freezing, 1))
	}
	n, ok := scale(r, big.NewRat(int64(size), 1))
	if !ok {
		return 0, "too large"
	}
	return Temperature(n), ""
}

// degreeUnit returns the size of one degree, or why the unit is none.
func degreeUnit(unit string) (Temperature, string) {
	u := strings.ToUpper(strings.ReplaceAll(unit, " ", ""))
	switch strings.TrimPrefix(strings.TrimPrefix(u, "°"), "DEG") {
	case "C":
		return Degree, ""
	case "F":
		return FahrenheitDegree, ""
	case "":
		return 0, "no unit"
	}
	return 0, "unknown unit"
}

// InCelsius returns degrees Celsius.
func (t Temperature) InCelsius() float64 { return float64(t) / float64(Degree) }

// InFahrenheit returns degrees Fahrenheit.
func (t Temperature) InFahrenheit() float64 {
	return float64(t)/float64(FahrenheitDegree) + freezing
}

// String prints degrees Celsius with two decimals at most: "121.11 °C".
func (t Temperature) String() string { return trimDecimal(int64(t), int64(Degree), 2) + " °C" }

// fahrenheit prints degrees Fahrenheit with two decimals at most.
func (t Temperature) fahrenheit() string {
	r := big.NewRat(int64(t), int64(FahrenheitDegree))
	return trimRat(r.Add(r, big.NewRat(freezing, 1)), 2) + " °F"
}
