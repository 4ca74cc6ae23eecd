package exposure_test

import (
	"strings"
	"testing"

	"ovenward/inventory"
	"ovenward/storage/evidence"
)

// Boundary: a thermometer past its calibration date proves no bake, as it
// closes no hold. The bake is the recipe of 06:00 to 09:30, see recipe.
func TestSensorPastItsCalibrationDateProvesNoBake(t *testing.T) {
	t.Parallel()
	const checked = "2025-05-01 06:00"
	cases := []struct {
		name, due string
		verdict   inventory.Verdict
		bakes     int64
		why       string
	}{
		{"due the day after", "2025-05-06 00:00", inventory.Ready, 1, ""},
		{"due as the rods came out", "2025-05-05 09:30:01", inventory.Ready, 1, ""},
		{"due in the soak", "2025-05-05 08:30", inventory.QAHold, 0, "soak not proven"},
		{"due before the bake", "2025-05-05 05:00", inventory.QAHold, 0, "no readings in the bake oven"},
	}
	r := ruling(t, "reference-running", "E7018")
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			shop := withHolding(recipe(newOvens(), "2025-05-05"))
			shop.calibrations[b1.Name] = []evidence.Calibration{calibration(clock(checked), 0, clock(c.due))}
			got := shop.judge(r, baked(), "2025-05-05 10:00")
			expect(t, got, want{verdict: c.verdict})
			if got.Bakes != c.bakes {
				t.Errorf("bakes %d, want %d", got.Bakes, c.bakes)
			}
			lapsed := strings.Contains(got.Why, string(evidence.CalibrationDue))
			if c.why != "" && (!lapsed || !strings.Contains(got.Why, c.why)) {
				t.Errorf("why %q, want it to name %q and the calibration", got.Why, c.why)
			}
		})
	}
}
