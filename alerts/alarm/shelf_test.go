package alarm_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/alerts/alarm"
	"ovenward/inventory"
)

// shelved is a bundle of a lot that is good until 5 June, warned of on 2 and 4 June.
func shelved(lot, gone string) alarm.Shelved {
	s := alarm.Shelved{Lot: inventory.Lot{Code: lot, Mark: mark("E7018"), Size: "1/8 in"}, Known: clock("2025-06-01 06:00"),
		Last: "2025-06-05", First: clock("2025-06-02 00:00"), Next: clock("2025-06-04 00:00"), Over: clock("2025-06-06 00:00")}
	if gone != "" {
		s.Gone = clock(gone)
	}
	return s
}

// raised prints conditions as "kind lot since-until", with the day where it is
// not 5 June.
func raised(from, at string, list ...alarm.Shelved) []string {
	return lines(alarm.ShelfLife(list, clock(from), clock(at), alarm.Words{Zone: zone()}))
}

func TestShelfLifeIsWarnedOfTwiceAndThenOver(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name, from, at string
		list           []alarm.Shelved
		want           []string
	}{
		{"before", "2025-06-01 06:00", "2025-06-01 23:59", []alarm.Shelved{shelved("A", "")}, nil},
		{"first", "2025-06-01 06:00", "2025-06-02 00:00", []alarm.Shelved{shelved("A", "")}, []string{"shelf-life-near A 2 Jun 00:00-"}},
		{"second", "2025-06-01 06:00", "2025-06-04 00:00", []alarm.Shelved{shelved("A", "")},
			[]string{"shelf-life-last A 4 Jun 00:00-", "shelf-life-near A 2 Jun 00:00-4 Jun 00:00"}},
		{"over, what ceased before is left out", "2025-06-05 12:00", "2025-06-06 00:00", []alarm.Shelved{shelved("A", "")},
			[]string{"expired A 6 Jun 00:00-", "shelf-life-last A 4 Jun 00:00-6 Jun 00:00"}},
		{"used up in time", "2025-06-01 06:00", "2025-06-06 00:00", []alarm.Shelved{shelved("A", "2025-06-03 10:00")},
			[]string{"shelf-life-near A 2 Jun 00:00-3 Jun 10:00"}},
		{"as long as for any bundle", "2025-06-01 06:00", "2025-06-03 12:00", []alarm.Shelved{shelved("A", "2025-06-03 10:00"), shelved("A", "")},
			[]string{"shelf-life-near A 2 Jun 00:00-"}},
		{"lots apart", "2025-06-01 06:00", "2025-06-02 12:00", []alarm.Shelved{shelved("A", ""), shelved("B", "")},
			[]string{"shelf-life-near A 2 Jun 00:00-", "shelf-life-near B 2 Jun 00:00-"}},
	} {
		got := raised(c.from, c.at, c.list...)
		slices.Sort(got)
		if diff := cmp.Diff(c.want, got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", c.name, diff)
		}
	}
}

func TestShelfLifeAlarmsSayWhatToDo(t *testing.T) {
	t.Parallel()
	list := []alarm.Shelved{shelved("7B21", ""), shelved("7B21", "")}
	for _, c := range alarm.ShelfLife(list, 0, clock("2025-06-06 00:00"), alarm.Words{Zone: zone()}) {
		if c.Consequence == "" || c.Priority == "" || !strings.Contains(c.Action, "ovenward lot extend 7B21") || !c.Kind.OfLot() {
			t.Errorf("%s says too little: %+v", c.Kind, c)
		}
		if !strings.HasPrefix(c.What, "lot 7B21, E7018 1/8 in") || !strings.HasSuffix(c.What, ", 2 bundles") {
			t.Errorf("%s is about %q", c.Kind, c.What)
		}
		if (c.Due == 0) != (c.Kind == alarm.Expired) {
			t.Errorf("%s is due %s", c.Kind, c.Due)
		}
	}
}
