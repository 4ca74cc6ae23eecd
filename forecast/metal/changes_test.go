package metal_test

import (
	"strings"
	"testing"

	"ovenward/forecast/metal"
)

// TestChangesNameWhatTheyReplace holds that a shop's row is set beside the one
// that a storekeeper takes for the same, and that a new one replaces none.
func TestChangesNameWhatTheyReplace(t *testing.T) {
	t.Parallel()
	own, err := metal.Read(strings.NewReader(
		row("bead", `diameter = "3.2 mm"; area_mm2 = 14`+from) +
			row("operating_factor", `process = "smaw"; value = 0.2`+from) +
			row("labour", `process = "SMAW"; hour = 60.0`+from)))
	if err != nil {
		t.Fatal(err)
	}
	under := defaults(t)
	got := map[string]string{}
	for _, c := range under.Changes(own) {
		got[c.Table] = c.Was.Value
	}
	want := map[string]string{"bead": "16 mm2", "operating_factor": "30 % (15 to 40 %)", "labour": ""}
	for table, was := range want {
		if g, there := got[table]; !there || g != was {
			t.Errorf("%s replaces %q, want %q", table, g, was)
		}
	}
	if len(got) != len(want) {
		t.Errorf("%d changes, want %d: %v", len(got), len(want), got)
	}
	if before, after := len(under.Rows()), len(under.Over(own).Rows()); after != before+1 {
		t.Errorf("%d rows over %d, want one more: the wages", after, before)
	}
}
