package alarm_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/alerts/alarm"
	"ovenward/inventory"
)

// unpapered is a lot that came on 1 June and may wait until the end of 4 June.
// Turns are written "2025-06-03 10:00 taken" or "... rejected".
func unpapered(gone string, turns ...string) alarm.Unpapered {
	u := alarm.Unpapered{Lot: inventory.Lot{Code: "A", Mark: mark("E7018"), Size: "1/8 in"}, Came: "2025-06-01", Due: clock("2025-06-05 00:00")}
	if gone != "" {
		u.Gone = clock(gone)
	}
	for _, t := range turns {
		at, taken := strings.CutSuffix(t, " taken")
		u.Turns = append(u.Turns, alarm.PaperTurn{At: clock(strings.TrimSuffix(at, " rejected")), Taken: taken})
	}
	return u
}

// The instants follow from the setting's own words: nothing before the days are
// over, and nothing after a paper was taken or the stock was used up.
func TestALotWaitsSoLongForItsCertificateAndNoLonger(t *testing.T) {
	t.Parallel()
	const looked, later = "2025-06-01 06:00", "2025-06-20 06:00"
	for _, c := range []struct {
		name, from, at string
		lot            alarm.Unpapered
		want           []string
	}{
		{"in its days", looked, "2025-06-04 23:59", unpapered(""), nil},
		{"past them", looked, "2025-06-05 00:00", unpapered(""), []string{"certificate-missing A 00:00-"}},
		{"came with its paper", looked, later, unpapered("", "2025-06-01 06:00 taken"), nil},
		{"paper in time", looked, later, unpapered("", "2025-06-04 23:59 taken"), nil},
		{"paper too late", looked, later, unpapered("", "2025-06-07 10:00 taken"), []string{"certificate-missing A 00:00-7 Jun 10:00"}},
		{"over before the last look", "2025-06-07 10:00", later, unpapered("", "2025-06-07 10:00 taken"), nil},
		{"rejected in its days", looked, later, unpapered("", "2025-06-02 10:00 taken", "2025-06-03 10:00 rejected"),
			[]string{"certificate-missing A 00:00-"}},
		{"rejected afterwards", looked, later, unpapered("", "2025-06-02 10:00 taken", "2025-06-09 10:00 rejected"),
			[]string{"certificate-missing A 9 Jun 10:00-"}},
		{"rejected twice", looked, later, unpapered("", "2025-06-06 10:00 rejected", "2025-06-07 10:00 rejected"),
			[]string{"certificate-missing A 00:00-"}},
		{"a second paper changes nothing", looked, later, unpapered("", "2025-06-02 10:00 taken", "2025-06-09 10:00 taken"), nil},
		{"used up in its days", looked, later, unpapered("2025-06-04 12:00"), nil},
		{"used up past them", looked, later, unpapered("2025-06-06 12:00"), []string{"certificate-missing A 00:00-6 Jun 12:00"}},
		{"used up, then the paper", looked, later, unpapered("2025-06-06 12:00", "2025-06-07 10:00 taken"),
			[]string{"certificate-missing A 00:00-6 Jun 12:00"}},
		{"used up before it was rejected", looked, later,
			unpapered("2025-06-06 12:00", "2025-06-02 10:00 taken", "2025-06-07 10:00 rejected"), nil},
	} {
		got := lines(alarm.Papers([]alarm.Unpapered{c.lot}, clock(c.from), clock(c.at)))
		if diff := cmp.Diff(c.want, got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", c.name, diff)
		}
	}
}

func TestAnAlarmOfAMissingCertificateSaysWhatToDo(t *testing.T) {
	t.Parallel()
	list := alarm.Papers([]alarm.Unpapered{unpapered("")}, 0, clock("2025-06-05 00:00"))
	if len(list) != 1 {
		t.Fatalf("%d conditions, want 1", len(list))
	}
	c := list[0]
	if c.What != "lot A, E7018 1/8 in, came on 2025-06-01 and has no certificate that was taken" || c.Consequence == "" ||
		!strings.Contains(c.Action, "ovenward lot certificate add A") || c.Priority != alarm.Low || !c.Kind.OfLot() {
		t.Errorf("it says too little: %+v", c)
	}
}
