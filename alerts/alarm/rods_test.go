package alarm_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/alerts/alarm"
	"ovenward/inventory"
)

// The rules of these are the reference rules: 4:00 for E7018, warning at 3:12, a
// hold of 4:00 at 120 °C or more.
func TestRodsInTheCrib(t *testing.T) {
	t.Parallel()
	e70 := ruling(t, "reference-running", "E7018", nil)
	fresh := func() *rods { return can().in("2025-06-04 12:00", h1) }
	for _, tt := range []struct {
		name string
		rods *rods
		at   string
		want []string
	}{
		{"at rest in the oven nothing is raised", fresh(), "23:00", nil},
		{"sealed stock has no clock", can().closed("2025-06-04 12:00", store), "23:00", nil},
		{"put away in time the warning is over", can().closed("06:00", store).in("07:00", bench).in("10:30", h1), "12:00",
			[]string{"exposure-near K1 10:12-10:30"}},
		{"moved along the bench it is the same condition",
			can().closed("06:00", store).in("07:00", bench).in("10:20", store), "10:40",
			[]string{"exposure-near K1 10:12-"}},
		{"back on a shelf near the limit the bundle is warned of, not only the slip",
			fresh().out("07:00", loose).back("10:30", bench), "10:45", []string{"exposure-near R1 10:30-"}},
		{"back past the limit nothing is left to watch", fresh().out("07:00", loose).back("11:30", bench), "23:00", nil},
		{"back exactly at the limit likewise", fresh().out("07:00", loose).back("11:00", bench), "23:00", nil},
		{"S09 a broken hold counts at once: past the limit, not near it",
			fresh().out("08:00", loose).back("09:00", h1).in("12:30", bench), "12:40",
			[]string{"exposure-past R1 12:30-"}},
		{"S09 no alarm during the hold itself", fresh().out("07:00", loose).back("10:45", h1), "14:00", nil},
		{"wet rods have no limit left",
			can().closed("06:00", store).in("07:00", bench).event("08:00", inventory.Event{Kind: inventory.GotWet}), "23:00", nil},
		{"stock that must be baked first has none either",
			(&rods{&inventory.History{Bundle: "K1"}}).in("07:00", bench), "23:00", nil},
		{"scrapped in time", can().closed("06:00", store).in("07:00", bench).gone("10:00"), "23:00", nil},
		{"the hold of rods split off during it is theirs",
			fresh().out("07:00", loose).back("10:45", h1).part("12:00", "R2").stay(inventory.Stay{Place: h1, From: clock("12:00")}), "16:00",
			[]string{"hold-complete R2 14:45-"}},
		{"that of rods split off after it was not",
			fresh().out("07:00", loose).back("10:45", h1).part("15:00", "R2").stay(inventory.Stay{Place: h1, From: clock("15:00")}), "16:00", nil},
		{"issued again the hold is over", fresh().out("07:00", loose).back("10:45", h1).gone("15:20"), "16:00",
			[]string{"hold-complete R1 14:45-15:20"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			if diff := cmp.Diff(tt.want, tt.rods.conditions(e70, steady(), tt.at)); diff != "" {
				t.Errorf("raised by %s (-want +got):\n%s", tt.at, diff)
			}
		})
	}
}

// TestAColdOvenSetsBackAHold: the reading of 13:00 shows 100 °C, so that the hold
// of 10:45 is broken from the reading before; it begins again at 13:30.
func TestAColdOvenSetsBackAHold(t *testing.T) {
	t.Parallel()
	e70 := ruling(t, "reference-running", "E7018", nil)
	o := readings{}.read(h1, "2025-06-04 00:00", "12:30", "30m", "130 C").once(h1, "13:00", "100 C").
		read(h1, "13:30", "23:30", "30m", "130 C")
	short := can().in("2025-06-04 12:00", h1).out("07:00", loose).back("07:30", h1)
	// 0:30 out and 3:30 held until 11:00 are one complete hold before the dip.
	if diff := cmp.Diff([]string{"hold-complete R1 11:30-13:00"}, short.conditions(e70, o, "13:10")); diff != "" {
		t.Errorf("a dip after the hold (-want +got):\n%s", diff)
	}
	// 1:00 exposed, held from 10:00: broken at 12:30 with 2:30 at stake, 3:30 and
	// the half hours around the dip are 4:30.
	late := can().in("2025-06-04 12:00", h1).out("09:00", loose).back("10:00", h1)
	if diff := cmp.Diff([]string(nil), late.conditions(e70, o, "23:00")); diff != "" {
		t.Errorf("a dip in the hold (-want +got):\n%s", diff)
	}
}

// TestAHoldThatALaterReadingRefutesWasComplete: by the reading of 14:30 the hold
// is complete at 14:45, and rods would have gone out; the one of 15:00 shows the
// oven cold since 14:30. A watch that never stopped would have said so at 14:45,
// and so does one that catches up.
func TestAHoldThatALaterReadingRefutesWasComplete(t *testing.T) {
	t.Parallel()
	e70 := ruling(t, "reference-running", "E7018", nil)
	o := readings{}.read(h1, "2025-06-04 00:00", "14:30", "30m", "130 C").once(h1, "15:00", "100 C")
	r := can().in("2025-06-04 12:00", h1).out("07:00", loose).back("10:45", h1)
	for at, want := range map[string]string{"14:50": "hold-complete R1 14:45-", "15:10": "hold-complete R1 14:45-15:00"} {
		if diff := cmp.Diff([]string{want}, r.conditions(e70, o, at)); diff != "" {
			t.Errorf("raised by %s (-want +got):\n%s", at, diff)
		}
	}
}

func TestEveryAlarmSaysWhatItMeansAndWhatToDo(t *testing.T) {
	t.Parallel()
	e70 := ruling(t, "reference-running", "E7018", nil)
	o := steady()
	fresh := func() *rods { return can().in("2025-06-04 12:00", h1) }
	var all []alarm.Condition
	for _, r := range []*rods{fresh().out("07:00", loose), fresh().out("07:00", loose).back("10:45", h1),
		can().closed("06:00", store).in("07:00", bench)} {
		all = append(all, r.watch(e70, o, clock("23:00")).Conditions(0, clock("23:00"))...)
	}
	p := place(h1, readings{}.once(h1, "08:00", "100 C").once(h1, "09:00", "220 C"), content("K1", "07:00", ""))
	p.Contents[0].Band.HasMax, p.Contents[0].Band.Max = true, degrees("200 C")
	all = append(all, p.Conditions(0, clock("23:00"))...)
	seen := map[alarm.Kind]bool{}
	for _, c := range all {
		seen[c.Kind] = true
		if c.What == "" || c.Consequence == "" || c.Action == "" || c.Priority == "" {
			t.Errorf("%s of %s says too little: %+v", c.Kind, c.Subject, c)
		}
		if c.Kind == alarm.ExposureNear && (c.Due == 0 || !strings.Contains(c.Action, "before 11:00")) {
			t.Errorf("%s of %s does not say by when: %q, due %s", c.Kind, c.Subject, c.Action, c.Due)
		}
	}
	for _, k := range []alarm.Kind{alarm.ExposureNear, alarm.ExposurePast, alarm.HoldComplete, alarm.OvenCold, alarm.OvenHot, alarm.NoReading} {
		if !seen[k] {
			t.Errorf("nothing of kind %s was raised", k)
		}
		if got, err := alarm.ParseKind(string(k)); got != k || err != nil {
			t.Errorf("ParseKind(%q) = %q, %v", k, got, err)
		}
	}
	if _, err := alarm.ParseKind("oven-lukewarm"); err == nil || !strings.Contains(err.Error(), "oven-cold") {
		t.Errorf("an unknown kind is not refused with a list: %v", err)
	}
}
