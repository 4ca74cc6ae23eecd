// Package air holds moist air: what its temperature and relative humidity say
// of the water in it, and what a log of such readings proves.
//
// Two bodies of air of one relative humidity may differ much in moisture: warm
// air holds more. A covering takes up water from what is in the air, so that a
// rule that speaks of humidity speaks of both.
package air

import (
	"fmt"
	"math"

	"ovenward/inventory/measure"
)

// Air is air of a temperature and a relative humidity, at Pressure.
type Air struct {
	Temp measure.Temperature
	RH   measure.Humidity
}

// Pressure is the pressure of the air in hPa, that of the standard atmosphere. A
// shop does not read a barometer beside its hygrometer; at 900 hPa the same
// readings mean an eighth more grams of water in a kilogram of air, in the test
// as in the shop.
const Pressure = 1013.25

// Coldest and Hottest are the ends of the range for which the formula of the
// saturation pressure is published.
var (
	Coldest = measure.Celsius(-45)
	Hottest = measure.Celsius(60)
)

// RangeError reports air of which the formula does not speak.
type RangeError struct {
	Field string // "temperature" or "humidity"
	Value string
	Limit string
}

// Error names the value and the limits.
func (e *RangeError) Error() string {
	return fmt.Sprintf("%s %s of air: the moisture formula is good for %s; read the instrument again", e.Field, e.Value, e.Limit)
}

// New returns air. The error is a *RangeError outside of -45 to 60 °C or of 0 to
// 100 % relative humidity.
func New(t measure.Temperature, h measure.Humidity) (Air, error) {
	switch {
	case t < Coldest || t > Hottest:
		return Air{}, &RangeError{"temperature", t.String(), Coldest.String() + " to " + Hottest.String()}
	case h < 0 || h > measure.Saturated:
		return Air{}, &RangeError{"humidity", h.String(), "0 % to 100 %"}
	}
	return Air{t, h}, nil
}

// Saturation returns the pressure in hPa of water vapour over water at a
// temperature: the Magnus form 6.112·exp(17.62·T/(243.12+T)) with T in °C, whose
// coefficients are those of the WMO guide to instruments (WMO-No. 8) after
// Sonntag 1990, for -45 to 60 °C.
func Saturation(t measure.Temperature) float64 {
	const (
		atZero = 6.112 // hPa
		slope  = 17.62
		offset = 243.12 // °C
	)
	c := t.InCelsius()
	return atZero * math.Exp(slope*c/(offset+c))
}

// Vapour returns the pressure of the water vapour in the air in hPa.
func (a Air) Vapour() float64 { return Saturation(a.Temp) * a.RH.InPercent() / 100 }

// VapourMMHg returns the pressure of the water vapour in mmHg, of which 760 are
// 1013.25 hPa.
func (a Air) VapourMMHg() float64 { return a.Vapour() * 760 / 1013.25 }

// Moisture returns the grams of water in the air to a kilogram of dry air, the
// mixing ratio: 622·e/(p-e) at Pressure, where 0.622 is the ratio of the molar
// masses of water and dry air.
func (a Air) Moisture() float64 {
	const ratio = 622 // g/kg
	e := a.Vapour()
	return ratio * e / (Pressure - e)
}

// Grains returns the grains of water to a pound of dry air. A pound has 7000
// grains, so that one g/kg is 7 gr/lb.
func (a Air) Grains() float64 { return a.Moisture() * 7 }

// String prints the air with its moisture: "27 °C, 80 % RH (18.0 g/kg)".
func (a Air) String() string {
	return fmt.Sprintf("%s, %s RH (%.1f g/kg)", a.Temp, a.RH, a.Moisture())
}
