package backup_test

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/cmd/internal/backup"
)

// TestTheNewestOfEachDayAndWeekIsKept counts by hand on the calendar of March 2026,
// whose 2nd, 9th and 16th are Mondays.
func TestTheNewestOfEachDayAndWeekIsKept(t *testing.T) {
	t.Parallel()
	at := func(text string) time.Time {
		v, err := time.Parse("01-02 15:04", text)
		if err != nil {
			t.Fatal(err)
		}
		return v.AddDate(2026, 0, 0)
	}
	all := []time.Time{at("03-02 02:30"), at("03-08 02:30"), at("03-09 02:30"), at("03-16 02:30"), at("03-17 02:30"), at("03-17 14:00")}
	for name, c := range map[string]struct {
		keep backup.Keep
		want []time.Time
	}{
		"all without a number": {backup.Keep{}, nil},
		"two days":             {backup.Keep{Daily: 2}, []time.Time{at("03-17 02:30"), at("03-09 02:30"), at("03-08 02:30"), at("03-02 02:30")}},
		"three weeks":          {backup.Keep{Weekly: 3}, []time.Time{at("03-17 02:30"), at("03-16 02:30"), at("03-02 02:30")}},
		"both":                 {backup.Keep{Daily: 2, Weekly: 3}, []time.Time{at("03-17 02:30"), at("03-02 02:30")}},
	} {
		if diff := cmp.Diff(c.keep.Spare(all, time.UTC), c.want); diff != "" {
			t.Errorf("%s: (-got +want)\n%s", name, diff)
		}
	}
}
