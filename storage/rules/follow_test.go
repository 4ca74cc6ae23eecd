package rules_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/storage/rules"
)

// followers is a set of a project that follows the shipped structural set, whose
// hold is at 250 °F (121.1 °C) for four hours and whose E70 limit is four hours.
func followers(t *testing.T, hold, limit, ruling string) (*rules.Set, error) {
	t.Helper()
	text := `id = "project"
title = "Rules of an invented project"
edition = "1"
unit_system = "SI"
valid_from = "2025-01-01"
[bakes]
max = 1

[[exposure]]
row = "e70"
family = ["low-hydrogen"]
limit = "` + limit + `"
source = "project procedure 3"
status = "shop"
follows = "structural-2015-a/e70"

[[hold]]
row = "hold"
family = ["low-hydrogen"]
min = "` + hold + `"
duration = "4h"
resets = true
source = "project procedure 3"
status = "shop"
follows = "structural-2015-a/hold-250F"
` + ruling
	return rules.Parse("project.toml", []byte(text))
}

// C15: a project oven at 100 °C follows a code that asks for 120 °C. 120 °C
// itself is looser than 250 °F, which is 121.1 °C: the comparison is of the
// temperatures, not of the figures as printed.
func TestRowLooserThanTheOneItFollowsNeedsARuling(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ hold, limit, want string }{
		{"121.2 C", "4h", ""},
		{"130 C", "2h", ""}, // tighter needs nobody's word
		{"100 C", "4h", "project.toml:18, row hold: min is 100 C, looser than 250 F, in row structural-2015-a/hold-250F that it follows"},
		{"120 C", "4h", "project.toml:18, row hold: min is 120 C, looser than 250 F"},
		{"130 C", "5h", "project.toml:10, row e70: limit is 5 h, looser than 4 h"},
	} {
		_, err := followers(t, c.hold, c.limit, "")
		if c.want == "" && err != nil || c.want != "" && (err == nil || !strings.HasPrefix(err.Error(), c.want)) {
			t.Errorf("hold %s, limit %s: %v, want %q", c.hold, c.limit, err, c.want)
		}
	}
}

// With a ruling the set is taken, and whoever checks it is told.
func TestRulingIsToldWithTheRow(t *testing.T) {
	t.Parallel()
	s, err := followers(t, "100 C", "4h", "ruling = \"owner's engineer, letter of 3 March 2026\"\n")
	if err != nil {
		t.Fatal(err)
	}
	want := []rules.Loosened{{Row: "hold", Follows: "structural-2015-a/hold-250F", What: "min is 100 C, looser than 250 F",
		Ruling: "owner's engineer, letter of 3 March 2026"}}
	if diff := cmp.Diff(want, s.Loosened()); diff != "" {
		t.Errorf("loosened (-want +got):\n%s", diff)
	}
	if said := s.Describe()[1].Note; said != "follows structural-2015-a/hold-250F, ruled: owner's engineer, letter of 3 March 2026" {
		t.Errorf("note %q", said)
	}
}

func TestFollowingIsOfARowThatThereIs(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ follows, want string }{
		{`follows = "bake"`, "yard.toml:35, row hold: follows is \"bake\": rule set yard has no hold row \"bake\""},
		{`follows = "hold"`, "yard.toml:35, row hold: follows is \"hold\": a row does not follow itself"},
		{`ruling = "QA"`, "yard.toml:35, row hold: ruling is given and the row follows none"},
	} {
		_, err := rules.Parse("yard.toml", []byte(changed(t, "resets = true", "resets = true\n"+c.follows)))
		if err == nil || !strings.HasPrefix(err.Error(), c.want) {
			t.Errorf("%s: %v, want %s", c.follows, err, c.want)
		}
	}
}

// Every kind of row says in which figures it is looser, both ends of each.
func TestLooserFiguresOfEveryKind(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ kind, field, looser, tighter string }{
		{"exposure", "limit", `"5h"`, `"3h"`},
		{"hold", "min", `"240 F"`, `"260 F"`}, {"hold", "max", `"360 F"`, `"340 F"`}, {"hold", "duration", `"3h"`, `"5h"`},
		{"bake", "min", `"490 F"`, `"510 F"`}, {"bake", "max", `"810 F"`, `"790 F"`}, {"bake", "soak", `"1h"`, `"3h"`},
		{"bake", "soak_max", `"5h"`, `"3h"`}, {"bake", "presoak", `"20m"`, `"40m"`}, {"bake", "presoak_percent", `60`, `40`},
		{"quiver", "min", `"140 F"`, `"160 F"`}, {"quiver", "total", `"9h"`, `"7h"`}, {"packet", "limit", `"13h"`, `"11h"`},
		{"hopper", "limit", `"9h"`, `"7h"`}, {"warm_up", "below", `"50 F"`, `"70 F"`},
		{"warm_up", "wait", `"23h"`, `"25h"`}, {"blend", "new_min_percent", `24`, `26`}, {"blend", "recycled_max_percent", `76`, `74`},
		{"holding_time", "max_days", `11`, `9`}, {"shelf_life", "years", `4`, `2`}, {"loading", "max_layers", `5`, `3`},
		{"column_b", "max", `"10h"`, `"8h"`}, {"co_storage", "from", `"130 F"`, `"110 F"`},
	} {
		for value, loose := range map[string]bool{c.looser: true, c.tighter: false} {
			text, _, _ := rowOf(c.kind, c.field, value)
			text = strings.Replace(text, "follows = \"structural-2015-a/e70\"\nruling = \"\"\n", "", 1)
			first, _, _ := rowOf(c.kind, "", "")
			first = strings.Replace(first[len(aside):], "row = \"r\"", "row = \"led\"\nauthority = \"maker\"", 1)
			first = strings.Replace(first, "authority = \"code\"\n", "", 1)
			first = strings.Replace(first, "follows = \"structural-2015-a/e70\"\nruling = \"\"\n", "", 1)
			_, err := rules.Parse("yard.toml", []byte(text+"follows = \"led\"\n"+first))
			if told := err != nil && strings.Contains(err.Error(), c.field+" is "); told != loose {
				t.Errorf("%s.%s = %s: %v, want looser %t", c.kind, c.field, value, err, loose)
			}
		}
	}
}
