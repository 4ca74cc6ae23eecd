package rules_test

import (
	"strings"
	"testing"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/rules"
)

const pairs = `
[[co_storage]]
row = "apart-from-cellulosic"
family = ["low-hydrogen"]
with_family = ["cellulosic"]
places = ["holding oven", "shelf"]
why = "water"
source = "trade press"
status = "confirmed"

[[co_storage]]
row = "rutile-not-hot"
family = ["low-hydrogen"]
with_family = ["rutile"]
places = ["holding oven"]
from = "250 F"
why = "organics break down"
source = "one handbook"
status = "single-source"

[[co_storage]]
row = "one-type"
places = ["quiver"]
apart = "class"
why = "one type only"
source = "project procedure"
status = "single-source"

[[co_storage]]
row = "rebaked"
family = ["low-hydrogen"]
places = ["holding oven"]
apart = "bakes"
warn = true
why = "marked ends"
source = "project procedure"
status = "single-source"

[[loading]]
row = "five-layers"
places = ["holding oven"]
max_layers = 5
authority = "maker"
source = "one maker"
status = "single-source"

[[loading]]
row = "three-layers"
family = ["low-hydrogen"]
places = ["holding oven"]
max_layers = 3
authority = "shop"
source = "yard procedure 7"
status = "shop"
`

func withPairs(t testing.TB) *rules.Set {
	t.Helper()
	s, err := rules.Parse("yard.toml", []byte(sound+pairs))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// The pairs are those of the published table "may share an oven?".
func TestPairsThatShareNoPlace(t *testing.T) {
	t.Parallel()
	s := withPairs(t)
	hot, mild := measure.Fahrenheit(250), measure.Fahrenheit(249)
	cases := []struct {
		name    string
		kind    inventory.PlaceKind
		a, b    string
		baked   bool // of the first
		at      measure.Temperature
		refused string // the row
	}{
		{"low-hydrogen and cellulosic", inventory.HoldingOven, "E7018", "E6010", false, mild, "apart-from-cellulosic"},
		{"whichever was first", inventory.HoldingOven, "E6010", "E7018", false, mild, "apart-from-cellulosic"},
		{"in a bake oven no row says so", inventory.BakeOven, "E7018", "E6010", false, hot, ""},
		{"rutile at 250 F", inventory.HoldingOven, "E7018", "E6013", false, hot, "rutile-not-hot"},
		{"rutile below it", inventory.HoldingOven, "E6013", "E7018", false, mild, ""},
		{"two low-hydrogen classes in a holding oven", inventory.HoldingOven, "E7018", "E8018-C3", false, hot, ""},
		{"two classes in a quiver", inventory.Quiver, "E7018", "E8018-C3", false, hot, "one-type"},
		{"one class in a quiver", inventory.Quiver, "E7018", "E7018", false, hot, ""},
		{"baked and never baked", inventory.HoldingOven, "E7018", "E7018", true, hot, "rebaked"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			got := ""
			for _, row := range s.Apart(c.kind) {
				if row.Parts(rules.Beside{Subject: stock(t, c.a), Baked: c.baked}, rules.Beside{Subject: stock(t, c.b)}, c.at) {
					got += row.Row
				}
			}
			if got != c.refused {
				t.Errorf("refused by %q, want %q", got, c.refused)
			}
		})
	}
	if row := s.Barred(stock(t, "E6010"), inventory.HoldingOven); row != nil {
		t.Errorf("a row of pairs bars a class from a kind of place: %s", row.Row)
	}
}

func TestTheFewestLayersCount(t *testing.T) {
	t.Parallel()
	s := withPairs(t)
	if row := s.Layers(stock(t, "E7018"), inventory.HoldingOven); row == nil || row.Row != "three-layers" {
		t.Errorf("low-hydrogen: row %v, want three-layers", row)
	}
	if row := s.Layers(stock(t, "E6013"), inventory.HoldingOven); row == nil || row.Row != "five-layers" {
		t.Errorf("rutile: row %v, want five-layers", row)
	}
	if row := s.Layers(stock(t, "E7018"), inventory.Quiver); row != nil {
		t.Errorf("a quiver: row %s, want none: no code gives a number", row.Row)
	}
}

func TestFaultsOfPairs(t *testing.T) {
	t.Parallel()
	cases := []struct{ name, old, new, want string }{
		{"two rules in one", `with_family = ["cellulosic"]`, "with_family = [\"cellulosic\"]\napart = \"class\"",
			"row apart-from-cellulosic: with_family and apart are two rules"},
		{"unknown family", `with_family = ["cellulosic"]`, `with_family = ["cellulose"]`, `with_family is "cellulose": use one of`},
		{"unknown way", `apart = "class"`, `apart = "colour"`, `row one-type: apart is "colour": use one of ["class" "bakes"]`},
		{"a warning of nothing", `apart = "bakes"`, ``, "row rebaked: warn and from belong to a row with with_family or apart"},
		{"no places", `places = ["quiver"]`, ``, "row one-type: places is missing"},
		{"the other unit", `from = "250 F"`, `from = "121 C"`, `row rutile-not-hot: from 121 C in a set of unit_system "US"`},
		{"no layers", `max_layers = 5`, `max_layers = 0`, "row five-layers: max_layers is 0: write a positive number"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			text := strings.Replace(sound+pairs, c.old, c.new, 1)
			if _, err := rules.Parse("yard.toml", []byte(text)); err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want %q", err, c.want)
			}
		})
	}
}

func TestPairsAreDescribedInWords(t *testing.T) {
	t.Parallel()
	want := map[string]string{
		"apart-from-cellulosic": "low-hydrogen: not with cellulosic in a holding oven, shelf: water",
		"rutile-not-hot":        "low-hydrogen: not with rutile in a holding oven: organics break down (at 250 F or more)",
		"one-type":              "one class only in a quiver: one type only",
		"rebaked":               "low-hydrogen: baked apart from never baked in a holding oven: marked ends (a warning)",
		"five-layers":           "at most 5 layers in a holding oven",
	}
	for _, d := range withPairs(t).Describe() {
		if w, ok := want[d.Row]; ok && d.Says != w {
			t.Errorf("%s says %q, want %q", d.Row, d.Says, w)
		}
		delete(want, d.Row)
	}
	if len(want) > 0 {
		t.Errorf("not described: %v", want)
	}
}
