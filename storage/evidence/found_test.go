package evidence_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
)

// What a check found reaches back to the check before, and what a reading may
// mean in between is a range: the least of it counts for a minimum, the most for
// a maximum.
func TestAsFoundReachesBackToTheCheckBefore(t *testing.T) {
	t.Parallel()
	readings := []evidence.Reading{read(0, 130), read(30, 130), read(60, 130), read(90, 130), read(120, 130), read(150, 130)}
	high := evidence.Band{Min: measure.Celsius(120), Max: measure.Celsius(140), HasMax: true}
	shift := func(celsius int64) measure.Temperature { return measure.Temperature(celsius) * measure.Degree }
	cases := []struct {
		name  string
		found measure.Temperature
		want  []piece
	}{
		{"shows 12 C too much", shift(12), []piece{{0, 30, evidence.InRange, ""}, {30, 120, evidence.TooCold, ""},
			{120, 150, evidence.InRange, ""}}},
		{"shows 12 C too little", shift(-12), []piece{{0, 30, evidence.InRange, ""}, {30, 120, evidence.TooHot, ""},
			{120, 150, evidence.InRange, ""}}},
		{"shows 10 C too much", shift(10), []piece{{0, 150, evidence.InRange, ""}}},
		{"is as it was left", 0, []piece{{0, 150, evidence.InRange, ""}}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			checks := []evidence.Calibration{{At: minute(120), Found: c.found, HasFound: true}, {At: minute(45)}}
			p := evidence.NewPlace(evidence.NewTrack(readings, checks))
			if diff := cmp.Diff(c.want, pieces(p.Between(high, measure.Hour, minute(0), minute(150)))); diff != "" {
				t.Errorf("spans (-want +got):\n%s", diff)
			}
		})
	}
}

// Without an earlier check it reaches back to the first reading.
func TestAsFoundOfTheFirstCheckReachesBackToTheFirstReading(t *testing.T) {
	t.Parallel()
	checks := []evidence.Calibration{{At: minute(60), Found: 12 * measure.Degree, HasFound: true}}
	p := evidence.NewPlace(evidence.NewTrack([]evidence.Reading{read(0, 130), read(30, 130), read(60, 130), read(90, 130)}, checks))
	got := pieces(p.Between(hold, measure.Hour, minute(0), minute(90)))
	if want := []piece{{0, 60, evidence.TooCold, ""}, {60, 90, evidence.InRange, ""}}; !cmp.Equal(want, got) {
		t.Errorf("spans %v, want %v", got, want)
	}
	want := []evidence.Shown{{Readings: []evidence.Reading{read(0, 118), read(30, 118), read(60, 130)},
		Most: []evidence.Reading{read(0, 130), read(30, 130), read(60, 130)}}}
	if diff := cmp.Diff(want, p.Shown(minute(0), minute(60))); diff != "" {
		t.Errorf("Shown() (-want +got):\n%s", diff)
	}
	if l, h, _ := p.Extremes(minute(0), minute(30)); l != measure.Celsius(118) || h != measure.Celsius(130) {
		t.Errorf("extremes %s to %s, want 118 to 130", l, h)
	}
}

// Two good end readings prove nothing of a planned shutdown between them,
// however near each other they are.
func TestReadingsOnBothSidesOfAShutdownProveNothingOfIt(t *testing.T) {
	t.Parallel()
	cases := []struct {
		name     string
		readings []evidence.Reading
		want     []piece
	}{
		{"one before and one after", []evidence.Reading{read(0, 130), read(30, 130), read(80, 130), read(110, 130)},
			[]piece{{0, 30, evidence.InRange, ""}, {30, 80, evidence.Unproven, evidence.ShutDown}, {80, 110, evidence.InRange, ""}}},
		{"readings during it count", []evidence.Reading{read(0, 130), read(40, 130), read(50, 119), read(65, 119), read(110, 130)},
			[]piece{{0, 40, evidence.InRange, ""}, {40, 65, evidence.TooCold, ""}, {65, 110, evidence.Unproven, evidence.ShutDown}}},
		{"a gap stays a gap", []evidence.Reading{read(0, 130), read(30, 130), read(110, 130)},
			[]piece{{0, 30, evidence.InRange, ""}, {30, 110, evidence.Unproven, evidence.Gap}}},
		{"the last reading before it speaks no further", []evidence.Reading{read(0, 130), read(30, 130)},
			[]piece{{0, 30, evidence.InRange, ""}, {30, 80, evidence.Unproven, evidence.ShutDown}}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			p := evidence.NewPlace(track(c.readings...))
			p.ShutDown(evidence.Off{From: minute(40), To: minute(70)})
			end := minute(c.want[len(c.want)-1].To)
			if diff := cmp.Diff(c.want, pieces(p.Between(hold, measure.Hour, minute(0), end))); diff != "" {
				t.Errorf("spans (-want +got):\n%s", diff)
			}
		})
	}
}
