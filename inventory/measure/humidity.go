package measure

import (
	"math/big"
	"strings"
)

// Humidity is the relative humidity of air in hundredths of a per cent, with
// respect to water.
type Humidity int64

// Percent is one per cent of relative humidity, Saturated the most that air
// holds.
const (
	Percent   Humidity = 100
	Saturated          = 100 * Percent
)

const writeHumidity = "per cent of relative humidity from 0 to 100, such as 55 % or 55% RH"

// ParseHumidity reads "80 %", "80% RH", "80 %RH", "80 percent" and "54.5 % r.h.". The
// error is a *UnitError; a bare number and anything outside of 0 to 100 % are
// refused.
func ParseHumidity(s string) (Humidity, error) {
	number, unit := split(fold(s))
	fail := func(why string) (Humidity, error) {
		return 0, &UnitError{Kind: "humidity", Value: s, Why: why, Write: writeHumidity}
	}
	r, why := rational(number)
	if why != "" {
		return fail(why)
	}
	if why := humidityUnit(unit); why != "" {
		return fail(why)
	}
	n, ok := scale(r, big.NewRat(int64(Percent), 1))
	switch {
	case !ok || Humidity(n) > Saturated || r.Cmp(big.NewRat(100, 1)) > 0:
		return fail("above 100 %")
	case r.Sign() < 0:
		return fail("below 0 %")
	}
	return Humidity(n), nil
}

// humidityUnit says why a unit is not that of a relative humidity; "" for one
// that is. "RH" alone is none: 0.8 RH may mean 80 %.
func humidityUnit(unit string) string {
	u := strings.NewReplacer(" ", "", ".", "").Replace(strings.ToLower(unit))
	switch strings.TrimSuffix(u, "rh") {
	case "%", "percent":
		return ""
	case "":
		return "no % sign"
	}
	return "unknown unit"
}

// InPercent returns per cent.
func (h Humidity) InPercent() float64 { return float64(h) / float64(Percent) }

// String prints per cent with two decimals at most: "54.5 %".
func (h Humidity) String() string { return trimDecimal(int64(h), int64(Percent), 2) + " %" }
