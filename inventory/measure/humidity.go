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

// Content is a share by weight in hundredths of a per cent: the moisture of a
// covering.
type Content int64

const writeContent = "per cent by weight from 0 to 100, such as 0.4 %"

// ParseHumidity reads "80 %", "80% RH", "80 %RH", "80 percent" and "54.5 % r.h.". The
// error is a *UnitError; a bare number and anything outside of 0 to 100 % are
// refused.
func ParseHumidity(s string) (Humidity, error) {
	number, unit := split(fold(s))
	unit = strings.NewReplacer(" ", "", ".", "").Replace(strings.ToLower(unit))
	n, why := percent(number, strings.TrimSuffix(unit, "rh"))
	if why != "" {
		return 0, &UnitError{Kind: "humidity", Value: s, Why: why, Write: writeHumidity}
	}
	return Humidity(n), nil
}

// ParseContent reads "0.4 %" and "0.4 percent". The error is a *UnitError; a bare
// number and anything outside of 0 to 100 % are refused.
func ParseContent(s string) (Content, error) {
	number, unit := split(fold(s))
	n, why := percent(number, strings.ToLower(unit))
	if why != "" {
		return 0, &UnitError{Kind: "share by weight", Value: s, Why: why, Write: writeContent}
	}
	return Content(n), nil
}

// percent returns hundredths of a per cent, or why the text is none: "RH" alone is
// no unit, 0.8 RH may mean 80 %.
func percent(number, unit string) (int64, string) {
	r, why := rational(number)
	switch {
	case why != "":
		return 0, why
	case unit == "":
		return 0, "no % sign"
	case unit != "%" && unit != "percent":
		return 0, "unknown unit"
	case r.Sign() < 0:
		return 0, "below 0 %"
	case r.Cmp(big.NewRat(100, 1)) > 0:
		return 0, "above 100 %"
	}
	n, _ := scale(r, big.NewRat(int64(Percent), 1))
	return n, ""
}

// InPercent returns per cent.
func (h Humidity) InPercent() float64 { return float64(h) / float64(Percent) }

// String prints per cent with two decimals at most: "54.5 %".
func (h Humidity) String() string { return trimDecimal(int64(h), int64(Percent), 2) + " %" }

// String prints per cent by weight with two decimals at most: "0.4 %".
func (c Content) String() string { return Humidity(c).String() }
