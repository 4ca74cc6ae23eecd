package feed

import (
	"errors"
	"fmt"
	"math"

	"ovenward/inventory/measure"
)

// Register says what a device's registers hold: a temperature in a form of numbers,
// scaled.
type Register struct {
	Form    string  // int16, uint16, int32, uint32 or float32
	LowHigh bool    // of two registers the first has the lower half
	Scale   float64 // by which the number is multiplied; 0.1 for tenths
	Offset  float64 // added after that
	Unit    string  // "C" or "F"
	Broken  []int64 // numbers, before they are scaled, that say that the probe is broken
}

// forms are the forms of numbers that a register may hold.
var forms = map[string]int{"int16": 1, "uint16": 1, "int32": 2, "uint32": 2, "float32": 2}

// Words returns how many registers of 16 bits hold the number; 0 for a form that
// there is not.
func (r Register) Words() int { return forms[r.Form] }

// What is wrong with what a register holds.
var (
	ErrBroken   = errors.New("the device says that the probe is broken")
	ErrNoNumber = errors.New("it is no number")
)

// Temperature returns what the registers hold, in the order in which the device
// has them. The error wraps ErrBroken or ErrNoNumber, or says that the number of
// registers or the size of the value is wrong.
func (r Register) Temperature(words []uint16) (measure.Temperature, error) {
	if len(words) != r.Words() || len(words) == 0 {
		return 0, fmt.Errorf("%d registers for a number of form %q, which has %d", len(words), r.Form, r.Words())
	}
	raw := uint32(words[0])
	if len(words) == 2 {
		high, low := words[0], words[1]
		if r.LowHigh {
			high, low = low, high
		}
		raw = uint32(high)<<16 | uint32(low)
	}
	number, whole := r.number(raw)
	for _, b := range r.Broken {
		if whole && number == float64(b) {
			return 0, fmt.Errorf("%d: %w", b, ErrBroken)
		}
	}
	return scaled(number*r.Scale+r.Offset, r.Unit)
}

// number is the number of some bits, and whether its form has whole ones alone.
func (r Register) number(raw uint32) (float64, bool) {
	switch r.Form {
	case "int16":
		return float64(int16(raw)), true
	case "int32":
		return float64(int32(raw)), true
	case "float32":
		return float64(math.Float32frombits(raw)), false
	}
	return float64(raw), true
}

// scaled rounds degrees to what the type counts.
func scaled(degrees float64, unit string) (measure.Temperature, error) {
	const most = 100_000
	if math.IsNaN(degrees) || math.Abs(degrees) > most {
		return 0, fmt.Errorf("%g: %w", degrees, ErrNoNumber)
	}
	t := measure.Temperature(math.Round(degrees * float64(measure.Degree)))
	if unit == "F" {
		t = measure.Temperature(math.Round((degrees - 32) * float64(measure.FahrenheitDegree)))
	}
	if t < measure.AbsoluteZero {
		return 0, fmt.Errorf("%g °%s is below absolute zero: %w", degrees, unit, ErrNoNumber)
	}
	return t, nil
}
