package metal_test

import (
	"math"
	"testing"

	"ovenward/forecast/metal"
	"ovenward/inventory/measure"
)

// TestDensitiesKeepTheirUnit holds that 0.283 lb/in3 is 7.833 g/cm3 (ESAB
// filler-metal handbook) and is not the metric tables' 7.85, from which it
// differs by 0.21 %.
func TestDensitiesKeepTheirUnit(t *testing.T) {
	t.Parallel()
	if us == metric {
		t.Error("0.283 lb/in3 equals 7.85 g/cm3, want two densities")
	}
	if got := us.GramsPerCC(); math.Abs(got-7.833) > 0.0005 {
		t.Errorf("GramsPerCC() = %.4f, want 7.833", got)
	}
	if got := (metric.GramsPerCC()/us.GramsPerCC() - 1) * 100; math.Abs(got-0.21) > 0.005 {
		t.Errorf("7.85 g/cm3 is %.3f %% more than 0.283 lb/in3, want 0.21", got)
	}
	for _, text := range []string{"0.283 lb/in3", "7.85 g/cm3"} {
		d, err := metal.ParseDensity(text)
		if err != nil {
			t.Errorf("ParseDensity(%q): %v", text, err)
		}
		if got := d.String(); got != text {
			t.Errorf("ParseDensity(%q).String() = %q", text, got)
		}
	}
}

func TestDensityNeedsAUnitAndAMetal(t *testing.T) {
	t.Parallel()
	for _, text := range []string{
		"", "7.85", "0.283", "7.85 kg/m3", "7,85 g/cm3", "0.283 g/cm3", "7.85 lb/in3", "NaN g/cm3",
	} {
		if d, err := metal.ParseDensity(text); err == nil {
			t.Errorf("ParseDensity(%q) = %v, want an error", text, d)
		}
	}
}

func TestMassHasALargestValue(t *testing.T) {
	t.Parallel()
	tests := []struct {
		grams float64
		want  measure.Mass
	}{{0.001, measure.Milligram}, {1, measure.Gram}, {1e300, math.MaxInt64}, {math.Inf(1), math.MaxInt64}}
	for _, tt := range tests {
		if got := metal.Mass(tt.grams); got != tt.want {
			t.Errorf("Mass(%v) = %d, want %d", tt.grams, got, tt.want)
		}
	}
}
