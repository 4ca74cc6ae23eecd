package measure_test

import (
	"errors"
	"testing"

	"pgregory.net/rapid"

	"ovenward/inventory/measure"
)

func TestHumidityIsReadAsPeopleWriteIt(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]measure.Humidity{
		"80 %": 80 * measure.Percent, "80%": 80 * measure.Percent, "80% RH": 80 * measure.Percent,
		"80 %RH": 80 * measure.Percent, "80 % r.h.": 80 * measure.Percent, "80 percent": 80 * measure.Percent,
		"54.5 %": 5450, "54,5 % rh": 5450, "0 %": 0, "100 %": measure.Saturated, "33.333 %": 3333,
	} {
		if got, err := measure.ParseHumidity(text); err != nil || got != want {
			t.Errorf("ParseHumidity(%q) = %d, %v, want %d", text, got, err, want)
		}
	}
}

// TestHumidityWithoutItsSignIsRefused: 0.8 and 80 are both met for the same air.
func TestHumidityWithoutItsSignIsRefused(t *testing.T) {
	t.Parallel()
	for text, why := range map[string]string{
		"80": "no % sign", "0.8 RH": "no % sign", "": "no number", "%": "no number", "80 g/kg": "unknown unit",
		"80 C": "unknown unit", "100.001 %": "above 100 %", "101 %": "above 100 %", "-1 %": "below 0 %",
		"1,500 %": "1,500 may mean 1500 or 1.500, write it without a comma", "wet %": "no number",
	} {
		_, err := measure.ParseHumidity(text)
		bad, ok := errors.AsType[*measure.UnitError](err)
		if !ok || bad.Why != why || bad.Value != text {
			t.Errorf("ParseHumidity(%q): %v, want it refused because %s", text, err, why)
		}
	}
}

func TestContentIsPerCentByWeight(t *testing.T) {
	t.Parallel()
	if got, err := measure.ParseContent("0.35 %"); err != nil || got != 35 || got.String() != "0.35 %" {
		t.Errorf("ParseContent = %d (%s), %v, want 35", got, got, err)
	}
	for _, text := range []string{"0.4", "0.4 % RH", "101 %", "-1 %"} {
		if got, err := measure.ParseContent(text); err == nil {
			t.Errorf("%q is read as %s", text, got)
		}
	}
}

func TestHumidityAsPrintedIsReadBack(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		want := measure.Humidity(rapid.Int64Range(0, int64(measure.Saturated)).Draw(t, "hundredths"))
		if got, err := measure.ParseHumidity(want.String()); err != nil || got != want {
			t.Fatalf("%s is read as %d, %v, want %d", want, got, err, want)
		}
	})
}

func FuzzParseHumidity(f *testing.F) {
	for _, s := range []string{"80 %", "80% RH", "54,5 %", "1/2 %", "-0 %", "1,234 %", "100.0000001 %", "٣ %", "%", "80"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		h, err := measure.ParseHumidity(s)
		if err == nil && (h < 0 || h > measure.Saturated) {
			t.Errorf("%q is read as %s", s, h)
		}
		if _, ok := errors.AsType[*measure.UnitError](err); err != nil && !ok {
			t.Errorf("%q: %v is no UnitError", s, err)
		}
	})
}
