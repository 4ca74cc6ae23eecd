package evidence_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
)

// Boundary: a thermometer past its calibration date. Its readings are kept, and
// prove nothing from the due date until the next check.
func TestReadingsPastTheCalibrationDateAreNotFit(t *testing.T) {
	t.Parallel()
	checks := []evidence.Calibration{{At: minute(0), Due: minute(60)}, {At: minute(120), Error: measure.Degree}}
	shown := []evidence.Reading{read(0, 130), read(59, 130), read(60, 140), read(119, 140), read(120, 131)}
	lapsed := evidence.NewTrack(shown, checks)
	fit := track(read(30, 125), read(90, 126))
	p := evidence.NewPlace(lapsed, fit)
	got, _, unfit := p.Fit(minute(0), minute(120))
	want := []evidence.Reading{read(0, 130), read(30, 125), read(59, 130), read(90, 126), read(120, 130)}
	if diff := cmp.Diff(want, got); diff != "" || unfit != 2 {
		t.Errorf("Fit() left out %d, want 2 (-want +got):\n%s", unfit, diff)
	}
	if n := len(p.Readings(minute(0), minute(120))); n != 7 {
		t.Errorf("%d readings are kept, want all 7", n)
	}
	if got, _, unfit := (*evidence.Place)(nil).Fit(minute(0), minute(60)); got != nil || unfit != 0 {
		t.Errorf("a place without sensors: %v and %d, want none", got, unfit)
	}
}
