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
	fit := track(read(30, 125), read(90, 126)).Named("T2", evidence.InLoad)
	p := evidence.NewPlace(lapsed.Named("T1", evidence.InAir), fit)
	want := []evidence.Shown{
		{Sensor: "T1", Position: evidence.InAir, Unfit: 2,
			Readings: []evidence.Reading{read(0, 130), read(59, 130), read(120, 130)}},
		{Sensor: "T2", Position: evidence.InLoad, Readings: []evidence.Reading{read(30, 125), read(90, 126)}},
	}
	if diff := cmp.Diff(want, p.Shown(minute(0), minute(120))); diff != "" {
		t.Errorf("Shown() (-want +got):\n%s", diff)
	}
	if n := len(p.Readings(minute(0), minute(120))); n != 7 {
		t.Errorf("%d readings are kept, want all 7", n)
	}
	if got := (*evidence.Place)(nil).Shown(minute(0), minute(60)); got != nil {
		t.Errorf("a place without sensors shows %v, want nothing", got)
	}
}
