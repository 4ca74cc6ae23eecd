package rules_test

import (
	"strings"
	"testing"

	"ovenward/storage/rules"
)

// A set that says nothing of it raises no alarm, as before the setting was known.
func TestDaysToWaitForAPaperAreReadAndChecked(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		text, wrong string
		want        int64
	}{
		{"", "", 0},
		{"[papers]\nwait_days = 14\n", "", 14},
		{"[papers]\nwait_days = -1\n", "papers.wait_days is -1", 0},
		{"[papers]\nwait_days = \"14 days\"\n", "wait_days", 0},
		{"[papers]\nwarn_days = 14\n", "warn_days", 0},
	} {
		set, err := rules.Parse("yard.toml", []byte(changed(t, "[clock]", c.text+"\n[clock]")))
		if c.wrong != "" {
			if err == nil || !strings.Contains(err.Error(), c.wrong) {
				t.Errorf("%q: %v, want %s", c.text, err, c.wrong)
			}
			continue
		}
		if err != nil || set.Papers != (rules.Papers{WaitDays: c.want}) {
			t.Errorf("%q: %v, %+v, want %d days", c.text, err, set, c.want)
		}
	}
}
