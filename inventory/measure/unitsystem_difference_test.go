package measure_test

import (
	"testing"

	"ovenward/inventory/measure"
)

// 12 °C of difference are 21.6 °F, with no 32 degrees in it.
func TestDifferenceOfTemperaturesIsPrinted(t *testing.T) {
	t.Parallel()
	for u, want := range map[measure.UnitSystem]string{measure.SI: "12 °C", measure.US: "21.6 °F"} {
		if got := (12 * measure.Degree).Difference(u); got != want {
			t.Errorf("12 °C of difference in %s = %q, want %q", u, got, want)
		}
	}
}
