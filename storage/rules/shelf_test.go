package rules_test

import (
	"strings"
	"testing"

	"ovenward/inventory/measure"
	"ovenward/storage/rules"
)

// 90 and 30 days ahead are the reference sequence S46's; a life of less than half
// a year is warned of in its second half, in the same proportion.
func TestWarningsBeforeTheLastDay(t *testing.T) {
	t.Parallel()
	policy := rules.ShelfPolicy{WarnDays: 90, LastDays: 30}
	for _, c := range []struct {
		name              string
		from, last        measure.Date
		first, last30days measure.Date
	}{
		{"five years", "2020-06-15", "2025-06-15", "2025-03-17", "2025-05-16"},
		{"one year", "2020-06-15", "2021-06-15", "2021-03-17", "2021-05-16"},
		{"a label", "", "2025-06-15", "2025-03-17", "2025-05-16"},
		{"thirty days once opened", "2025-06-01", "2025-07-01", "2025-06-16", "2025-06-26"},
		{"one day", "2025-06-01", "2025-06-02", "2025-06-01", "2025-06-01"},
	} {
		first, last := policy.Warnings(rules.Expiry{From: c.from, Last: c.last})
		if first != c.first || last != c.last30days {
			t.Errorf("%s: warned on %s and %s, want %s and %s", c.name, first, last, c.first, c.last30days)
		}
	}
}

func TestShelfPolicyIsChecked(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]string{
		"[shelf]\nwarn_days = -1\n":                "shelf.warn_days is -1",
		"[shelf]\nlast_days = 91\n":                "shelf.last_days is 91",
		"[shelf]\nwarn_days = 20\nlast_days = 0\n": "",
		"[shelf]\nwarn_days = \"90 days\"\n":       "warn_days",
	} {
		set, err := rules.Parse("yard.toml", []byte(changed(t, "[clock]", text+"\n[clock]")))
		if want == "" {
			if err != nil || set.Shelf != (rules.ShelfPolicy{WarnDays: 20, LastDays: 20}) {
				t.Errorf("%q: %v, %+v", text, err, set)
			}
			continue
		}
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %s", text, err, want)
		}
	}
}
