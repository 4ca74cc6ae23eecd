package rules_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/rules"
)

// The limits are those of D1.1/D1.1M:2015 Table 5.1 column A: E70 and E80 as
// quoted from D1.3 1.4.4.2, E110 and the mark R from trade pages; E90, E100 and
// E7018M from memory.
func TestLimitsOfTheStructuralSet(t *testing.T) {
	t.Parallel()
	s := shipped(t, "structural-2015-a")
	for class, want := range map[string]string{
		"E7018": "4:00", "E7018-1": "4:00", "E7016": "4:00", "E7028": "4:00", "A5.1 E4918": "4:00",
		"E7018 H4": "4:00", "E7018-1 H8": "4:00", // H is hydrogen in the weld, not time in the air
		"E7018R": "9:00", "E7018-1 H4R": "9:00", "E7018M": "9:00",
		"E7018-A1": "4:00", "E8018-C3": "2:00", "E8018-C3 H4R": "2:00", // R rows stand under A5.1 only
		"E9018-B3": "1:00", "E9018M": "1:00", "E10018-D2": "0:30", "E11018-M": "0:30", "E11018-M H4R": "0:30",
	} {
		r, err := s.Resolve(stock(t, class))
		if err != nil {
			t.Errorf("Resolve(%s): %v", class, err)
			continue
		}
		if r.Limit() != span(t, want) || !r.Clocked() {
			t.Errorf("%s: %s by %s, want %s", class, r.Limit(), r.Name(), want)
		}
	}
}

func TestNoRuleIsNeverAGuess(t *testing.T) {
	t.Parallel()
	for _, set := range []string{"structural-2015-a", "reference-running"} {
		for _, class := range []string{"E12018-M", "E6018"} {
			_, err := shipped(t, set).Resolve(stock(t, class))
			ref, ok := errors.AsType[*inventory.Refusal](err)
			if !ok || ref.Code != inventory.NoRule || ref.Rule != set || ref.Next == "" {
				t.Errorf("%s: Resolve(%s) = %v, want the refusal no-rule", set, class, err)
			}
		}
	}
	if _, err := shipped(t, "maker-directed").Resolve(stock(t, "E7018")); err == nil {
		t.Error("the blank set rules on E7018")
	}
}

func TestNoClockForCoveringsThatAreNotLowHydrogen(t *testing.T) {
	t.Parallel()
	for _, class := range []string{"E7014", "E7024", "E7024-1", "E6010", "E6013", "E6027"} {
		r, err := shipped(t, "structural-2015-a").Resolve(stock(t, class))
		if err != nil || r.Clocked() || r.Hold != nil || r.Bake != nil || r.FirstUse != nil {
			t.Errorf("%s: clocked %v, %v; want no clock, no hold, no bake", class, r.Clocked(), err)
		}
	}
}

func TestRecipeFollowsTheSpecification(t *testing.T) {
	t.Parallel()
	s := shipped(t, "structural-2015-a")
	for class, want := range map[string]struct{ row, min, max, soak string }{ // D1.1/D1.1M:2015 5.3.2.4
		"E7018":    {"bake-a5.1", "500 F", "800 F", "2:00"},
		"E8018-C3": {"bake-a5.5", "700 F", "800 F", "1:00"},
		"E7018-A1": {"bake-a5.5", "700 F", "800 F", "1:00"},
	} {
		r, err := s.Resolve(stock(t, class))
		if err != nil {
			t.Fatal(err)
		}
		b := r.Bake
		if b.Row != want.row || b.Min.String() != want.min || b.Max.String() != want.max ||
			b.Soak != span(t, want.soak) || b.PresoakPercent != 50 || b.Presoak != span(t, "30m") {
			t.Errorf("%s: %+v, want %+v with half an hour at half", class, b, want)
		}
	}
}

const makersRows = `
[[exposure]]
row = "maker"
authority = "maker"
family = ["low-hydrogen"]
classes = ["E7018"]
limit = "LIMIT"
source = "data sheet of an invented maker"
status = "single-source"

[[hold]]
row = "maker-hold"
authority = "maker"
family = ["low-hydrogen"]
min = "260 F"
max = "340 F"
duration = "2h"
resets = true
source = "data sheet of an invented maker"
status = "single-source"
`

func TestTightestOfSeveralAuthoritiesApplies(t *testing.T) {
	t.Parallel()
	for limit, want := range map[string]struct {
		decides string
		others  []string
	}{
		"2h": {"maker", []string{"e70"}},
		"6h": {"e70", []string{"maker"}},
		"4h": {"e70", []string{"maker"}}, // equal: the first in the file
	} {
		r, err := parse(t, sound+strings.ReplaceAll(makersRows, "LIMIT", limit)).Resolve(stock(t, "E7018"))
		if err != nil {
			t.Fatal(err)
		}
		if r.Exposure.Row != want.decides || !slices.Equal(r.Others, want.others) ||
			r.Limit() != span(t, min(limit, "4h")) {
			t.Errorf("maker says %s: %s by %s beside %v, want %s beside %v",
				limit, r.Limit(), r.Exposure.Row, r.Others, want.decides, want.others)
		}
	}
}

// A row with a clock is tighter than one without, whichever stands first.
func TestAClockIsTighterThanNone(t *testing.T) {
	t.Parallel()
	none := strings.ReplaceAll(makersRows, `limit = "LIMIT"`, `clock = "none"`)
	at := strings.Index(sound, "[[exposure]]")
	for name, text := range map[string]string{"last": sound + none, "first": sound[:at] + none + sound[at:]} {
		r, err := parse(t, text).Resolve(stock(t, "E7018"))
		if err != nil || !r.Clocked() || r.Exposure.Row != "e70" || !slices.Equal(r.Others, []string{"maker"}) {
			t.Errorf("%s: decided by %s beside %v (%v), want e70 beside maker", name, r.Exposure.Row, r.Others, err)
		}
	}
}

func TestHoldKeepsEveryRowThatSpeaks(t *testing.T) {
	t.Parallel()
	r, err := parse(t, sound+strings.ReplaceAll(makersRows, "LIMIT", "6h")).Resolve(stock(t, "E7018"))
	if err != nil {
		t.Fatal(err)
	}
	h := r.Hold
	if h.Row != "hold+maker-hold" || h.Duration != span(t, "4h") || h.Min.String() != "260 F" ||
		h.Max.String() != "340 F" || !h.Resets {
		t.Errorf("hold %s: %s at %s to %s, want 4:00 at 260 F to 340 F by both rows",
			h.Row, h.Duration, h.Min, h.Max)
	}
	alone, err := parse(t, sound).Resolve(stock(t, "E7018"))
	if err != nil || alone.Hold.Row != "hold" || alone.Hold.Min.String() != "250 F" {
		t.Errorf("the set's own hold is %+v (%v)", alone.Hold, err)
	}
}

func TestRulingCarriesTheSetAndItsPolicies(t *testing.T) {
	t.Parallel()
	s := shipped(t, "reference-portable")
	r, err := s.Resolve(stock(t, "E7018"))
	if err != nil {
		t.Fatal(err)
	}
	if r.Name() != "reference-portable/e70" || r.Digest != s.Digest || r.Edition != s.Edition ||
		r.Units != measure.SI {
		t.Errorf("ruling %s of edition %s", r.Name(), r.Edition)
	}
	if r.Clock != s.Clock || r.Evidence != s.Evidence || r.Oven != s.Oven || r.Bakes != s.Bakes {
		t.Errorf("policies %+v", r)
	}
	q := r.Quiver
	if q.Min.Temperature != measure.Celsius(65) || q.Total != span(t, "8h") || q.OnDip != rules.DipOpens {
		t.Errorf("quiver row %+v, want 65 °C, 8:00, open", q)
	}
	if r.Warn() != span(t, "3:12") { // 80 % of 4:00
		t.Errorf("Warn() = %s, want 3:12", r.Warn())
	}
}

// S23, and row 13 of the boundary cases: Practical Welding Today, January and
// February 2010, on storing stick electrodes.
func TestCellulosicRodsAreBarredFromEveryOven(t *testing.T) {
	t.Parallel()
	for _, set := range []string{"structural-2015-a", "reference-running", "reference-summed",
		"reference-portable", "example-company"} {
		s := shipped(t, set)
		for _, kind := range []inventory.PlaceKind{inventory.HoldingOven, inventory.BakeOven, inventory.Quiver} {
			row := s.Barred(stock(t, "E6010"), kind)
			if row == nil || row.Row != "cellulosic-never-hot" || row.Why == "" {
				t.Errorf("%s: E6010 in a %s: row %v, want cellulosic-never-hot", set, kind, row)
			}
			if row := s.Barred(stock(t, "E7018"), kind); row != nil {
				t.Errorf("%s: E7018 is barred from a %s by %s", set, kind, row.Row)
			}
		}
		if row := s.Barred(stock(t, "E6010"), inventory.Shelf); row != nil {
			t.Errorf("%s: E6010 is barred from a shelf by %s", set, row.Row)
		}
	}
}

// S46 and the reference rules: sealed can 5 years, board box 1 year.
func TestShelfLifeByPackage(t *testing.T) {
	t.Parallel()
	s := shipped(t, "reference-running")
	can := stock(t, "E7018")
	box := can
	box.Package, box.Tight = inventory.Carton, false
	other := can
	other.Package = inventory.PlasticBox
	cases := []struct {
		name        string
		stock       rules.Subject
		made, label measure.Date
		want        measure.Date
		row         string
	}{
		{"can", can, "2020-06-15", "", "2025-06-15", "sealed-can"},
		{"board box", box, "2020-06-15", "", "2021-06-15", "board-box"},
		{"label is earlier", can, "2020-06-15", "2023-01-31", "2023-01-31", ""},
		{"label is later", can, "2020-06-15", "2026-01-31", "2025-06-15", "sealed-can"},
		{"label is the same day", can, "2020-06-15", "2025-06-15", "2025-06-15", "sealed-can"},
		{"day of making unknown", can, "", "2026-01-31", "2026-01-31", ""},
		{"nothing known", can, "", "", "", ""},
		{"no row for the package", other, "2020-06-15", "", "", ""},
		{"leap day", can, "2020-02-29", "", "2025-03-01", "sealed-can"},
	}
	for _, c := range cases {
		e := s.ExpiresOn(c.stock, rules.Dates{Made: c.made, Label: c.label})
		got, row, name := e.Last, e.Row, ""
		if row != nil {
			name = row.Row
		}
		if got != c.want || name != c.row {
			t.Errorf("%s: %q by %q, want %q by %q", c.name, got, name, c.want, c.row)
		}
	}
}

func TestUnconfirmedListsTheRowsFromMemory(t *testing.T) {
	t.Parallel()
	var names []string
	for _, m := range shipped(t, "structural-2015-a").Unconfirmed() {
		names = append(names, m.Row)
	}
	if diff := cmp.Diff([]string{"e7018m", "e70-x", "e90-x", "e100-x"}, names); diff != "" {
		t.Errorf("Unconfirmed() (-want +got):\n%s", diff)
	}
	if open := shipped(t, "reference-running").Unconfirmed(); len(open) != 0 {
		t.Errorf("the reference set has unconfirmed rows: %v", open)
	}
}

// A row may ask for the package and the product as well.
func TestMatchAsksForEverythingItNames(t *testing.T) {
	t.Parallel()
	all := stock(t, "E7018-1 H4R")
	all.Product = "Invented 18"
	cases := []struct {
		name  string
		match rules.Match
		want  bool
	}{
		{"nothing", rules.Match{}, true},
		{"package", rules.Match{Packages: []inventory.Package{inventory.HermeticCan}}, true},
		{"another package", rules.Match{Packages: []inventory.Package{inventory.Carton}}, false},
		{"product", rules.Match{Products: []string{"Invented 18"}}, true},
		{"another product", rules.Match{Products: []string{"Invented 16"}}, false},
		{"class", rules.Match{Classes: []string{all.Mark.Canonical}}, true},
		{"another class", rules.Match{Classes: []string{"E7018"}}, false},
		{"with R", rules.Match{MoistureMark: rules.With}, true},
		{"without R", rules.Match{MoistureMark: rules.Without}, false},
		{"without M", rules.Match{Military: rules.Without}, true},
		{"from 70 ksi", rules.Match{StrengthKSI: rules.Range{Min: 70}}, true},
		{"from 71 ksi", rules.Match{StrengthKSI: rules.Range{Min: 71}}, false},
		{"to 69 ksi", rules.Match{StrengthKSI: rules.Range{Max: 69}}, false},
	}
	for _, c := range cases {
		if got := c.match.Matches(all); got != c.want {
			t.Errorf("%s: Matches() = %v, want %v", c.name, got, c.want)
		}
	}
	wire := stock(t, "E71T-1C") // has no strength in ksi as rods have
	if (rules.Match{StrengthKSI: rules.Range{Min: 1}}).Matches(wire) {
		t.Error("a row by strength matches stock without one")
	}
}
