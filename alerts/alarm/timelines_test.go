package alarm_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/storage/rules"
)

// TestTimelinesRaiseWhenStated holds the instants that the reference timelines
// state (their numbers in the names) under the reference rules: warning at 80 %
// of the limit, overdue at the limit, a hold of 4:00.
func TestTimelinesRaiseWhenStated(t *testing.T) {
	t.Parallel()
	fresh := func() *rods { return can().in("2025-06-04 12:00", h1) }
	e70 := ruling(t, "reference-running", "E7018", nil)
	e80 := ruling(t, "reference-running", "E8018-C3", nil)
	e110 := ruling(t, "reference-running", "E11018-M", nil)
	r9h := ruling(t, "reference-running", "E7018-1 H4R", nil)
	p8 := ruling(t, "reference-portable", "E7018", nil)
	hot := steady().read(q1, "06:00", "20:00", "30m", "110 C")
	for _, tt := range []struct {
		name string
		rule rules.Ruling
		rods *rods
		at   string
		want []string
	}{
		{"S01 warned, back in time", e70, fresh().out("07:00", loose).gone("10:45"), "23:00",
			[]string{"exposure-near S1 10:12-10:45"}},
		{"S02 plain overrun", e70, fresh().out("07:00", loose).gone("11:10"), "23:00",
			[]string{"exposure-near S1 10:12-11:00", "exposure-past S1 11:00-11:10"}},
		{"S03 back exactly at the limit is not overdue", e70, fresh().out("07:00", loose).gone("11:00"), "23:00",
			[]string{"exposure-near S1 10:12-11:00"}},
		{"still out at the limit is overdue", e70, fresh().out("07:00", loose), "11:00",
			[]string{"exposure-near S1 10:12-11:00", "exposure-past S1 11:00-"}},
		{"a microsecond earlier it is not", e70, fresh().out("07:00", loose), "10:59:59",
			[]string{"exposure-near S1 10:12-"}},
		{"S04 E80, still out", e80, fresh().out("13:00", loose), "15:05",
			[]string{"exposure-near S1 14:36-15:00", "exposure-past S1 15:00-"}},
		{"S04 (a)", e80, fresh().out("13:00", loose).gone("14:50"), "23:00",
			[]string{"exposure-near S1 14:36-14:50"}},
		{"S06 E110 warns at 24 minutes, not at the issue", e110, fresh().out("08:00", loose).gone("08:29"), "23:00",
			[]string{"exposure-near S1 08:24-08:29"}},
		{"S06 (b)", e110, fresh().out("08:00", loose).gone("08:31"), "23:00",
			[]string{"exposure-near S1 08:24-08:30", "exposure-past S1 08:30-08:31"}},
		{"S07 R mark", r9h, fresh().out("06:00", loose).gone("15:10"), "23:00",
			[]string{"exposure-near S1 13:12-15:00", "exposure-past S1 15:00-15:10"}},
		{"S08 an H mark gives no time", ruling(t, "reference-running", "E7018 H4", nil), fresh().out("06:00", loose).gone("12:00"), "23:00",
			[]string{"exposure-near S1 09:12-10:00", "exposure-past S1 10:00-12:00"}},
		{"S13 in a hot quiver 8:00 are allowed", p8, fresh().out("07:00", q1).gone("15:10"), "23:00",
			[]string{"exposure-near S1 13:24-15:00", "exposure-past S1 15:00-15:10"}},
		{"S10 a full hold is complete", e70, fresh().out("08:00", loose).back("11:30", h1), "23:00",
			[]string{"hold-complete R1 15:30-"}},
		{"S01 not before it is", e70, fresh().out("07:00", loose).back("10:45", h1), "14:44:59", nil},
		{"S01 the hold is complete", e70, fresh().out("07:00", loose).back("10:45", h1), "14:45",
			[]string{"hold-complete R1 14:45-"}},
		{"S35 keyed late, by when it happened", e70, fresh().out("06:55", loose), "12:00",
			[]string{"exposure-near S1 10:07-10:55", "exposure-past S1 10:55-"}},
		{"S43 W7", e70, fresh().out("10:40", loose), "15:00",
			[]string{"exposure-near S1 13:52-14:40", "exposure-past S1 14:40-"}},
		{"S28 opened on Friday, left on the bench", e70,
			can().closed("2025-05-09 08:00", store).in("2025-05-09 14:00", bench), "2025-05-12 07:00",
			[]string{"exposure-near K1 9 May 17:12-9 May 18:00", "exposure-past K1 9 May 18:00-"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			if diff := cmp.Diff(tt.want, tt.rods.conditions(tt.rule, hot, tt.at)); diff != "" {
				t.Errorf("raised by %s (-want +got):\n%s", tt.at, diff)
			}
		})
	}
}
