package alarm_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/alerts/alarm"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
)

var at120 = evidence.Band{Min: measure.Celsius(120)}

// place is a heated place of the reference rules: readings at most 60 minutes
// apart, 120 °C asked for.
func place(p inventory.Place, o readings, contents ...alarm.Content) *alarm.Place {
	out := &alarm.Place{Place: p, Contents: contents, Gap: measure.Hour, Words: alarm.Words{Zone: zone()}}
	if p.Kind == inventory.HoldingOven {
		out.Idle = &at120
	}
	if list, ok := o[p.Name]; ok {
		out.Oven = alarm.NewOven(alarm.Probe{Readings: list})
	}
	return out
}

// content is a bundle that was in a holding oven; no time to is still there.
func content(bundle, from, to string) alarm.Content {
	c := alarm.Content{Bundle: bundle, From: clock(from), Band: at120, Proof: true}
	if to != "" {
		c.To = clock(to)
	}
	return c
}

func TestPlaces(t *testing.T) {
	t.Parallel()
	rods := content("K1", "07:00", "")
	for _, tt := range []struct {
		name  string
		place *alarm.Place
		at    string
		want  []string
	}{
		{"S26 a weekend without readings", place(h1, readings{}.read(h1, "2025-06-06 06:00", "2025-06-06 18:00", "30m", "128 C").
			once(h1, "2025-06-09 06:00", "127 C"), rods), "2025-06-09 07:00",
			[]string{"no-reading H1 07:00-6 Jun 06:00", "no-reading H1 6 Jun 19:00-9 Jun 06:00", "no-reading H1 9 Jun 07:00-"}},
		{"a reading exactly when it is due is in time", place(h1, readings{}.read(h1, "07:00", "11:00", "1h", "130 C"), rods), "11:59", nil},
		{"silent from the moment the last one no longer speaks", place(h1, readings{}.once(h1, "06:30", "130 C"), rods), "07:30",
			[]string{"no-reading H1 07:30-"}},
		{"silent as soon as rods go into an oven that nobody reads", place(h1, readings{}.once(h1, "04:00", "130 C"), rods), "07:00",
			[]string{"no-reading H1 07:00-"}},
		{"without a sensor as well", place(h1, readings{}, rods), "07:00", []string{"no-reading H1 07:00-"}},
		{"over when the rods leave", place(h1, readings{}.once(h1, "06:30", "130 C"), content("K1", "07:00", "08:00")), "09:00",
			[]string{"no-reading H1 07:30-08:00"}},
		{"rods that left in time need no proof", place(h1, readings{}.once(h1, "06:30", "130 C"), content("K1", "07:00", "07:30")), "09:00", nil},
		{"other rods that came before those left need it on", place(h1, readings{}.once(h1, "06:30", "130 C"),
			content("K1", "07:00", "08:00"), content("K2", "07:40", "")), "09:00", []string{"no-reading H1 07:30-"}},
		{"an empty oven may be silent", place(h1, readings{}.once(h1, "06:30", "130 C")), "12:00", nil},
		{"cold from the reading that proves it to one in range", place(h1, readings{}.read(h1, "06:30", "08:00", "30m", "130 C").
			once(h1, "08:30", "119.99 C").once(h1, "09:00", "110 C").read(h1, "09:30", "11:00", "30m", "120 C"), rods), "11:30",
			[]string{"oven-cold H1 08:30-09:30"}},
		{"silence does not end it", place(h1, readings{}.once(h1, "06:30", "130 C").once(h1, "07:00", "100 C"), rods), "12:00",
			[]string{"no-reading H1 08:00-", "oven-cold H1 07:00-"}},
		{"an empty holding oven is watched", place(h1, readings{}.once(h1, "06:30", "100 C")), "07:00", []string{"oven-cold H1 06:30-"}},
		{"an empty quiver is not", place(q1, readings{}.once(q1, "06:30", "20 C")), "07:00", nil},
		{"a quiver is judged while rods are in it", place(q1, readings{}.read(q1, "06:40", "08:40", "30m", "100 C"),
			alarm.Content{From: clock("07:00"), To: clock("08:00"), Band: at120}), "09:00", []string{"oven-cold Q1 07:00-08:00"}},
		{"not by a reading of yesterday", place(q1, readings{}.once(q1, "2025-06-04 20:00", "20 C").once(q1, "07:05", "130 C"),
			alarm.Content{From: clock("07:00"), Band: at120}), "08:00", nil},
		{"too hot", place(b1, readings{}.once(b1, "08:00", "400 C").once(b1, "08:10", "466 C").once(b1, "08:20", "430 C"),
			alarm.Content{From: clock("07:00"), Band: evidence.Band{Min: measure.AbsoluteZero, Max: degrees("430 C"), HasMax: true}}), "09:00",
			[]string{"oven-hot B1 08:10-08:20"}},
		{"the tightest of what is in it decides", place(h1, readings{}.read(h1, "06:30", "10:30", "30m", "125 C"), content("K1", "07:00", ""),
			alarm.Content{From: clock("08:00"), To: clock("09:00"), Band: evidence.Band{Min: degrees("250 F") + 5*measure.Degree}}), "10:30",
			[]string{"oven-cold H1 08:00-09:00"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			if diff := cmp.Diff(tt.want, lines(tt.place.Conditions(0, clock(tt.at)))); diff != "" {
				t.Errorf("raised by %s (-want +got):\n%s", tt.at, diff)
			}
		})
	}
}

// TestOneColdProbeIsEnough: where one of two probes shows the oven cold it is
// cold, until that one shows it in range or has not been read for too long.
func TestOneColdProbeIsEnough(t *testing.T) {
	t.Parallel()
	left := readings{}.once(h1, "07:00", "130 C").once(h1, "07:30", "110 C")
	right := readings{}.read(h1, "07:10", "10:10", "30m", "130 C")
	p := place(h1, nil, content("K1", "07:00", ""))
	p.Oven = alarm.NewOven(alarm.Probe{Readings: left["H1"]}, alarm.Probe{Readings: right["H1"]})
	if diff := cmp.Diff([]string{"oven-cold H1 07:30-08:40"}, lines(p.Conditions(0, clock("10:00")))); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

// TestReadingsAreCorrectedFirst: a probe that shows 3 °C too much reads 122 °C in
// an oven of 119 °C.
func TestReadingsAreCorrectedFirst(t *testing.T) {
	t.Parallel()
	p := place(h1, nil, content("K1", "07:00", ""))
	p.Oven = alarm.NewOven(alarm.Probe{Readings: readings{}.once(h1, "07:00", "122 C")["H1"],
		Calibrations: []evidence.Calibration{{At: clock("06:00"), Error: 3 * measure.Degree}}})
	if diff := cmp.Diff([]string{"oven-cold H1 07:00-"}, lines(p.Conditions(0, clock("07:10")))); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}
