package alarm_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/alerts/alarm"
)

// TestChecksBecomeConditions: from the first bad check to the next good one, and
// from when one was due that did not come.
func TestChecksBecomeConditions(t *testing.T) {
	t.Parallel()
	check := func(k alarm.Kind, when string, bad bool, next string) alarm.Check {
		c := alarm.Check{Kind: k, Subject: "it", At: clock(when), Bad: bad, What: "what was found"}
		if next != "" {
			c.Next = clock(next)
		}
		return c
	}
	step := check(alarm.ClockStep, "09:00", true, "")
	step.Passing = true
	for _, tt := range []struct {
		name   string
		checks []alarm.Check
		at     string
		want   []string
	}{
		{"all is well", []alarm.Check{check(alarm.BackupFailed, "01:00", false, "2025-06-06 02:00")}, "23:00", nil},
		{"bad from the first on", []alarm.Check{check(alarm.BackupFailed, "01:00", false, ""), check(alarm.BackupFailed, "02:00", true, ""),
			check(alarm.BackupFailed, "03:00", true, "")}, "04:00", []string{"backup-failed it 02:00-"}},
		{"until a good one", []alarm.Check{check(alarm.BackupFailed, "02:00", true, ""), check(alarm.BackupFailed, "03:00", false, "")}, "04:00",
			[]string{"backup-failed it 02:00-03:00"}},
		{"not before it was made", []alarm.Check{check(alarm.BackupFailed, "02:00", true, "")}, "01:59", nil},
		{"one that did not come", []alarm.Check{check(alarm.LedgerUnverified, "01:00", false, "02:00")}, "02:00", []string{"ledger-unverified it 02:00-"}},
		{"and came late", []alarm.Check{check(alarm.LedgerUnverified, "01:00", false, "02:00"), check(alarm.LedgerUnverified, "05:00", false, "06:00")}, "05:30",
			[]string{"ledger-unverified it 02:00-05:00"}},
		{"exactly when it was due it is in time", []alarm.Check{check(alarm.LedgerUnverified, "01:00", false, "02:00"),
			check(alarm.LedgerUnverified, "02:00", false, "03:00")}, "02:30", nil},
		{"a step of the clock passes", []alarm.Check{step}, "10:00", []string{"clock-step it 09:00-09:00"}},
		{"stock must be short for a day", []alarm.Check{check(alarm.StockShort, "2025-06-04 09:00", true, "")}, "10:00", []string{"stock-short it 09:00-"}},
		{"before it is nobody's business", []alarm.Check{check(alarm.StockShort, "2025-06-04 09:00", true, "")}, "08:59", nil},
		{"ordered in the meantime", []alarm.Check{check(alarm.StockShort, "2025-06-04 09:00", true, ""),
			check(alarm.StockShort, "2025-06-04 12:00", false, "")}, "10:00", nil},
		{"in any order", []alarm.Check{check(alarm.DiskLow, "03:00", false, ""), check(alarm.DiskLow, "02:00", true, "")}, "04:00",
			[]string{"disk-low it 02:00-03:00"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			if diff := cmp.Diff(tt.want, lines(alarm.Checked(tt.checks, alarm.Shipped(), clock(tt.at)))); diff != "" {
				t.Errorf("by %s (-want +got):\n%s", tt.at, diff)
			}
		})
	}
}
