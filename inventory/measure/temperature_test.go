package measure_test

import (
	"testing"

	"pgregory.net/rapid"

	"ovenward/inventory/measure"
)

func temperature(t testing.TB, s string) measure.Temperature {
	t.Helper()
	got, err := measure.ParseTemperature(s)
	if err != nil {
		t.Fatal(err)
	}
	return got
}

// t/°F = 1.8 t/°C + 32: NIST Special Publication 811, appendix B.8. A degree
// Celsius is 900 units here, a degree Fahrenheit 500.
func TestTemperatureScalesAreExact(t *testing.T) {
	t.Parallel()
	checkReadings(t, measure.ParseTemperature, []reading[measure.Temperature]{
		{"0 C", 0}, {"32 F", 0}, {"100 C", 90_000}, {"212 F", 90_000}, {"-40 C", -36_000}, {"-40 F", -36_000},
		{"250F", 109_000}, {"250 °F", 109_000}, {"250 deg F", 109_000}, {"250 ºF", 109_000}, {"250 ℉", 109_000},
		{"120 C", 108_000}, {"120°C", 108_000}, {"120 ℃", 108_000}, {"120 degc", 108_000}, {"121.1 ° c", 108_990},
		{"0.01 C", 9}, {"32.01 F", 5}, {"-273.15 C", -245_835}, {"-459.67 F", -245_835}, {"500 F", 234_000},
	})
	if measure.Celsius(120) != 108_000 || measure.Fahrenheit(250) != 109_000 || measure.AbsoluteZero != -245_835 {
		t.Error("the constructors differ from what is read")
	}
}

// 250 °F is 121.111... °C: neither 120 °C nor what it is rounded to.
func TestScalesAreComparedUnrounded(t *testing.T) {
	t.Parallel()
	limit := temperature(t, "250 F")
	for text, below := range map[string]bool{
		"120 C": true, "121.1 C": true, "121.11 C": true, "121.12 C": false, "249.99 F": true, "250.01 F": false,
	} {
		if got := temperature(t, text); (got < limit) != below || got == limit {
			t.Errorf("%s < 250 °F is %t, want %t", text, got < limit, below)
		}
	}
	if temperature(t, "248 F") != temperature(t, "120 C") {
		t.Error("248 °F is not 120 °C")
	}
}

func TestTemperatureIsRefused(t *testing.T) {
	t.Parallel()
	checkFaults(t, "temperature", measure.ParseTemperature, faults{
		"": "no number", "F": "no number", "250 K": "unknown unit", "250 FF": "unknown unit", "250 °": "no unit",
		"250 deg": "no unit", "-273.16 C": "below absolute zero", "-459.68 F": "below absolute zero",
		"99999999999999999 C": "too large", "hot": "no number", "1,000 F": "may mean",
	})
}

// A sensor's error has no 32 degrees in it.
func TestTemperatureDifferenceHasNoOffset(t *testing.T) {
	t.Parallel()
	checkReadings(t, measure.ParseTemperatureDifference, []reading[measure.Temperature]{
		{"2 C", 1_800}, {"-3.5 F", -1_750}, {"9 F", 4_500}, {"5 C", 4_500}, {"-300 C", -270_000},
	})
	checkFaults(t, "temperature difference", measure.ParseTemperatureDifference, faults{
		"2 K": "unknown unit", "C": "no number", "99999999999999999 F": "too large",
	})
}

func TestTemperatureIsPrinted(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		t                   measure.Temperature
		celsius, fahrenheit string
	}{
		{measure.Fahrenheit(250), "121.11 °C", "250 °F"}, {measure.Celsius(120), "120 °C", "248 °F"},
		{0, "0 °C", "32 °F"}, {-1, "0 °C", "32 °F"}, {measure.AbsoluteZero, "-273.15 °C", "-459.67 °F"},
		{-16_000, "-17.78 °C", "0 °F"}, {9, "0.01 °C", "32.02 °F"},
	} {
		if c.t.String() != c.celsius || c.t.In(measure.US) != c.fahrenheit {
			t.Errorf("%d is printed %q and %q, want %q and %q",
				c.t, c.t.String(), c.t.In(measure.US), c.celsius, c.fahrenheit)
		}
		if si, us := c.t.InBoth(measure.SI), c.t.InBoth(measure.US); si != c.celsius+" ("+c.fahrenheit+")" || us != c.fahrenheit+" ("+c.celsius+")" {
			t.Errorf("%d is printed %q and %q, want both scales, the first named first", c.t, si, us)
		}
	}
}

func TestTemperatureInOtherScales(t *testing.T) {
	t.Parallel()
	if f := measure.Fahrenheit(248); f.InCelsius() != 120 || f.InFahrenheit() != 248 {
		t.Errorf("248 °F is %v °C and %v °F", f.InCelsius(), f.InFahrenheit())
	}
}

func TestPrintedTemperatureReadsBack(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		hundredths := rapid.Int64Range(-27_315, 1_000_000).Draw(t, "0.01 °C")
		c := measure.Temperature(hundredths) * measure.Degree / 100
		if got, err := measure.ParseTemperature(c.String()); err != nil || got != c {
			t.Fatalf("%d prints as %s and reads as %d, %v", c, c, got, err)
		}
		hundredths = rapid.Int64Range(-45_967, 1_000_000).Draw(t, "0.01 °F")
		f := measure.Temperature(hundredths-3200) * measure.FahrenheitDegree / 100
		if got, err := measure.ParseTemperature(f.In(measure.US)); err != nil || got != f {
			t.Fatalf("%d prints as %s and reads as %d, %v", f, f.In(measure.US), got, err)
		}
	})
}

func FuzzParseTemperature(f *testing.F) {
	seed(f, "250F", "250 °F", "120 C", "121.1 °C", "-459.67 F", "1/3 C", "deg", "250 ℉")
	f.Fuzz(func(t *testing.T, s string) {
		c, err := measure.ParseTemperature(s)
		if err != nil {
			refused(t, err, "temperature", s, "")
			return
		}
		if c < measure.AbsoluteZero {
			t.Fatalf("%q is read as %s", s, c)
		}
		again(t, c, measure.Temperature.String, measure.ParseTemperature, measure.Degree/100)
	})
}

func FuzzParseTemperatureDifference(f *testing.F) {
	seed(f, "2 C", "-3.5 F", "+0,5 °C", "-300 C")
	f.Fuzz(func(t *testing.T, s string) {
		c, err := measure.ParseTemperatureDifference(s)
		if err != nil {
			refused(t, err, "temperature difference", s, "")
			return
		}
		again(t, c, measure.Temperature.String, measure.ParseTemperatureDifference, measure.Degree/100)
	})
}
