package rules_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestDescribeSaysEveryRowInWords(t *testing.T) {
	t.Parallel()
	for id, want := range map[string][]string{
		"example-company": {
			"exposure low-hydrogen: A5.1, low-hydrogen: 4 h",
			"exposure not-low-hydrogen: cellulosic, rutile, iron-oxide, acid: no clock",
			"hold hold-120C: low-hydrogen: 4 h at 120 C or more",
			"bake bake: A5.1, low-hydrogen: 2 h at 260 C to 430 C",
			"quiver portable-65C: low-hydrogen: proven at 65 C or more, open and in it together 8 h if always in it",
			"co-storage cellulosic-never-hot: cellulosic: not in a holding oven, bake oven, quiver: " +
				"the covering needs its moisture",
			"co-storage low-hydrogen-apart-from-cellulosic: low-hydrogen: not with cellulosic in a shelf, holding oven, " +
				"bake oven, quiver: cellulosic coverings hold 4 to 6 % water and low-hydrogen ones take it up",
			"co-storage low-hydrogen-apart-from-hot-rutile: low-hydrogen: not with rutile in a holding oven: the organics " +
				"of rutile coverings break down above 100 to 200 C, unless their maker allows it (at 120 C or more)",
			"co-storage one-type-in-a-quiver: one class only in a quiver: one type only",
			"co-storage flux-apart-from-rods: saw-flux: not with low-hydrogen, cellulosic, rutile, iron-oxide, acid, " +
				"stainless in a holding oven, bake oven: flux has an oven of its own",
			"co-storage rebaked-apart-from-never-baked: low-hydrogen: baked apart from never baked in a holding oven, " +
				"quiver: their bakes are counted (a warning)",
			"loading four-layers: low-hydrogen: at most 4 layers in a holding oven, bake oven",
			"first use seal-or-dry: low-hydrogen: baked before first use unless the tight package's seal was intact",
		},
		"seismic-cored-72h": {"exposure cored-72h: cored-wire: 72 h"},
		"maker-directed":    nil,
	} {
		var got []string
		for _, s := range shipped(t, id).Describe() {
			got = append(got, s.Kind+" "+s.Row+": "+s.Says)
			if s.Source == "" || s.Status == "" {
				t.Errorf("%s: row %s says nothing of its source", id, s.Row)
			}
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", id, diff)
		}
	}
}

func TestDescribeLeavesNothingOut(t *testing.T) {
	t.Parallel()
	s := parse(t, sound+`
[[exposure]]
row = "top"
spec = ["A5.5"]
family = ["low-hydrogen"]
strength_ksi = { min = 90 }
moisture_mark = "without"
military = "with"
limit = "30m"
source = "yard procedure 7"
status = "shop"

[[bake]]
row = "maker-bake"
authority = "maker"
classes = ["E7018"]
products = ["Invented 18"]
min = "600 F"
max = "700 F"
soak = "1h"
soak_max = "3h"
presoak = "30m"
presoak_percent = 50
source = "data sheet of an invented maker"
status = "shop"

[[quiver]]
row = "quiver"
min = "250 F"
as_hold = true
source = "yard procedure 7"
status = "shop"

[[packet]]
row = "packet"
packages = ["vacuum pack"]
limit = "12h"
source = "yard procedure 7"
status = "shop"

[[holding_time]]
row = "days"
max_days = 10
source = "yard procedure 7"
status = "shop"

[[shelf_life]]
row = "age"
years = 3
source = "yard procedure 7"
status = "shop"
note = "from the day of making"
`)
	got := map[string]string{}
	for _, said := range s.Describe() {
		got[said.Row] = said.Says
	}
	want := map[string]string{
		"e70":  "A5.1, low-hydrogen, 70 to 79 ksi: 4 h",
		"e80":  "A5.5, low-hydrogen, 80 to 89 ksi: 2 h",
		"top":  "A5.5, low-hydrogen, 90 ksi and more, without R, with M: 30 min",
		"hold": "low-hydrogen: 4 h at 250 F or more, up to 350 F",
		"bake": "low-hydrogen: 2 h at 500 F to 800 F",
		"maker-bake": "E7018, Invented 18: 1 h to 3 h at 600 F to 700 F, " +
			"first 30 min at no more than 50 % of the chosen temperature",
		"quiver": "proven at 250 F or more, counts as a holding oven",
		"packet": "vacuum pack: 12 h opened in its packet",
		"days":   "10 days",
		"age":    "3 years",
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("Describe() (-want +got):\n%s", diff)
	}
}
