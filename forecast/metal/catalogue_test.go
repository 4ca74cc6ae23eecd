package metal_test

import (
	"errors"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/forecast/joint"
	"ovenward/forecast/metal"
	"ovenward/inventory/measure"
)

func defaults(t testing.TB) *metal.Catalogue {
	t.Helper()
	c, err := metal.Default()
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestSizesAndMarksFindTheirRow(t *testing.T) {
	t.Parallel()
	c := defaults(t)
	tests := []struct {
		class    string
		diameter measure.Length
		want     joint.Item
	}{
		{"E7018", inch / 8, joint.Item{Class: "E7018", Diameter: inch / 8}},
		{"e7018", mm(3.2), joint.Item{Class: "E7018", Diameter: inch / 8}},
		{"E7018", mm(4), joint.Item{Class: "E7018", Diameter: 5 * inch / 32}},
		{"E7018-1H4R", inch / 8, joint.Item{Class: "E7018-1 H4R", Diameter: inch / 8}},
		{"E7018-1 H4 R", inch / 8, joint.Item{Class: "E7018-1 H4R", Diameter: inch / 8}},
	}
	for _, tt := range tests {
		r, err := c.Rod(joint.Item{Class: tt.class, Diameter: tt.diameter})
		if err != nil {
			t.Errorf("Rod(%s %s): %v", tt.class, tt.diameter, err)
			continue
		}
		if diff := cmp.Diff(r.Item, tt.want); diff != "" {
			t.Errorf("Rod(%s %s).Item (-got +want):\n%s", tt.class, tt.diameter, diff)
		}
	}
}

func TestUnknownItemNamesWhatTheTablesHave(t *testing.T) {
	t.Parallel()
	tests := []struct {
		item joint.Item
		has  string
	}{
		{joint.Item{Class: "E308L-16", Diameter: inch / 8}, `the classes ["E6010" "E7018" "E7024"]`},
		{joint.Item{Class: "E6010", Diameter: inch / 4}, `the diameters ["1/8 in" "5/32 in" "3/16 in"]`},
	}
	for _, tt := range tests {
		_, err := defaults(t).Rod(tt.item)
		var bad *joint.UncomputedError
		if !errors.As(err, &bad) || bad.Reason != joint.UnknownItem {
			t.Errorf("Rod(%s) error = %v, want an unknown item", tt.item, err)
			continue
		}
		if !strings.Contains(err.Error(), tt.has) {
			t.Errorf("Rod(%s) error %q does not say %s", tt.item, err, tt.has)
		}
	}
}

// TestEveryDefaultRowSaysWhereItIsFrom holds that each rod can be computed and
// that each of its figures has a source and a status.
func TestEveryDefaultRowSaysWhereItIsFrom(t *testing.T) {
	t.Parallel()
	c := defaults(t)
	items := c.Items()
	if len(items) != 13 { // 6 of E7018, 3 of E6010, 4 of E7024
		t.Errorf("Items() has %d, want 13: %v", len(items), items)
	}
	for _, i := range items {
		r, err := c.Rod(i)
		if err != nil {
			t.Error(err)
			continue
		}
		tables := make(map[string]bool)
		for _, row := range r.Rows {
			tables[row.Table] = true
			if row.Source == "" || row.Status == "" || row.Key == "" || row.Value == "" {
				t.Errorf("%s: row without key, value, source or status: %+v", i, row)
			}
		}
		for _, want := range []string{"rod", "density", "efficiency", "coating"} {
			if !tables[want] {
				t.Errorf("%s: no %s row", i, want)
			}
		}
	}
}

// TestShopRowsReplaceTheDefaults holds that the shop's row counts where it has
// one, also under the metric name of the size, and the default elsewhere.
func TestShopRowsReplaceTheDefaults(t *testing.T) {
	t.Parallel()
	shop, err := metal.Read(strings.NewReader(`
[[efficiency]]
class = "e7018"
diameter = "3.2 mm"
value = 1.12
basis = "core-wire"
source = "weighed in May"
status = "shop"

[[density]]
class = "E7018"
value = "7.85 g/cm3"
source = "maker's sheet"
status = "shop"
`))
	if err != nil {
		t.Fatal(err)
	}
	c := defaults(t).Over(shop)
	r, err := c.Rod(joint.Item{Class: "E7018", Diameter: inch / 8})
	if err != nil {
		t.Fatal(err)
	}
	if want := (metal.Efficiency{Value: 1.12, Basis: metal.CoreWire}); r.Efficiency != want {
		t.Errorf("Efficiency = %v, want the shop's %v", r.Efficiency, want)
	}
	if r.Density != metric {
		t.Errorf("Density = %v, want the shop's %v", r.Density, metric)
	}
	other, err := c.Rod(joint.Item{Class: "E7018", Diameter: 5 * inch / 32})
	if err != nil {
		t.Fatal(err)
	}
	if want := (metal.Efficiency{Value: 0.71, Basis: metal.RodWithoutStub}); other.Efficiency != want {
		t.Errorf("Efficiency of the other size = %v, want the default %v", other.Efficiency, want)
	}
}

// row writes a table row in TOML from fields parted by semicolons.
func row(table, fields string) string {
	return "[[" + table + "]]\n" + strings.ReplaceAll(fields, "; ", "\n") + "\n"
}

// from is what every row of the tests below carries.
const from = `; source = "x"; status = "shop"`

func TestTablesThatCannotBeUsed(t *testing.T) {
	t.Parallel()
	density := row("density", `class = "E7018"; value = "7.85 g/cm3"`+from)
	piece := func(size, mass string) string {
		return row("piece", `class = "E7018"; diameter = "`+size+`"; mass = "`+mass+`"`+from)
	}
	efficiency := func(fields string) string {
		return row("efficiency", `class = "E7018"; diameter = "3.2 mm"; `+fields+from)
	}
	tests := []struct{ name, text, says string }{
		{"not TOML", "[[density", "tables: toml"},
		{"unknown key", row("density", `class = "E7018"; valu = "7.85 g/cm3"`+from), `key "density.valu" is not known`},
		{"unknown table", row("densities", `class = "E7018"`+from), "is not known"},
		{"no source", row("density", `class = "E7018"; value = "7.85 g/cm3"; status = "shop"`), "source: empty"},
		{"unknown status", row("density", `class = "E7018"; value = "7.85 g/cm3"; source = "x"; status = "sure"`),
			`status "sure": unknown`},
		{"bare density", row("density", `class = "E7018"; value = "7.85"`+from), `density row 1 (E7018): density "7.85"`},
		{"no class", row("density", `value = "7.85 g/cm3"`+from), "class: empty"},
		{"a row in a later line", "# a comment\n\n" + density + row("rod", `class = "E7018"`+from), "line 8, rod row 1 (E7018): diameter: empty"},
		{"twice", density + density, "density row 2 (E7018): there twice"},
		{"twice by another name of the size", piece("3.2 mm", "32 g") + piece("1/8 in", "32 g"), "also as E7018 3.2 mm"},
		{"bare diameter", piece("3.2", "32 g"), "no unit"},
		{"no diameter", row("piece", `class = "E7018"; mass = "32 g"`+from), "diameter: empty"},
		{"mass below zero", piece("3.2 mm", "-32 g"), "not above zero"},
		{"efficiency without basis", efficiency(`value = 0.7`), `basis "": unknown`},
		{"efficiency in per cent", efficiency(`value = 70; basis = "core-wire"`), "efficiency 70"},
		{"recovery on a rod basis", efficiency(`value = 1.1; basis = "rod-without-stub"`), "efficiency 1.1"},
		{"with stub, but which", efficiency(`value = 0.6; basis = "rod-with-stub"`), "stub 0 mm"},
		{"covering of everything", row("coating", `class = "E7018"; share = 1.0`+from), "share 1"},
		{"bead by area and run-out", row("bead", `diameter = "4 mm"; area_mm2 = 20; run_out = "150 mm"`+from),
			"write one of them"},
		{"bead by neither", row("bead", `diameter = "4 mm"`+from), "write one of them"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			_, err := metal.Read(strings.NewReader(tt.text))
			if err == nil || !strings.Contains(err.Error(), tt.says) {
				t.Errorf("Read() error = %v, want one that says %q", err, tt.says)
			}
		})
	}
}

// TestRodWithoutDataIsUnknown holds that figures that contradict each other or
// are missing make an item unknown instead of a number.
func TestRodWithoutDataIsUnknown(t *testing.T) {
	t.Parallel()
	rod := row("rod", `class = "X"; diameter = "4 mm"; length = "350 mm"; stub = "50 mm"`+from)
	allStub := strings.Replace(rod, "50 mm\"\nsource", "350 mm\"\nsource", 1)
	density := row("density", `class = "X"; value = "7.85 g/cm3"`+from)
	lab := row("efficiency", `class = "X"; diameter = "4 mm"; value = 0.7; basis = "rod-without-stub"`+from)
	tests := []struct{ name, text, says string }{
		{"no density", rod + lab, "no density row"},
		{"no efficiency", rod + density, "no efficiency row"},
		{"no mass of a piece", rod + density + lab, "no mass of a piece"},
		{"all stub", allStub + density + lab, "shorter than the rod"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			c, err := metal.Read(strings.NewReader(tt.text))
			if err != nil {
				t.Fatal(err)
			}
			_, err = c.Rod(joint.Item{Class: "X", Diameter: mm(4)})
			if err == nil || !strings.Contains(err.Error(), tt.says) {
				t.Errorf("Rod() error = %v, want one that says %q", err, tt.says)
			}
		})
	}
}

// TestNearestSizeCounts holds that of two sizes within 0.1 mm the nearer is
// taken, and of two equally near the smaller, whatever the order of the rows.
func TestNearestSizeCounts(t *testing.T) {
	t.Parallel()
	rod := func(size string) string {
		return row("rod", `class = "X"; diameter = "`+size+`"; length = "350 mm"; stub = "50 mm"`+from) +
			row("efficiency", `class = "X"; diameter = "`+size+`"; value = 1.1; basis = "core-wire"`+from)
	}
	density := row("density", `class = "X"; value = "7.85 g/cm3"`+from)
	c, err := metal.Read(strings.NewReader(rod("3.21 mm") + rod("3.09 mm") + density))
	if err != nil {
		t.Fatal(err)
	}
	for asked, want := range map[measure.Length]measure.Length{
		inch / 8: 3_210_000, 3_120_000: 3_090_000, 3_150_000: 3_090_000,
	} {
		r, err := c.Rod(joint.Item{Class: "X", Diameter: asked})
		if err != nil {
			t.Error(err)
			continue
		}
		if r.Item.Diameter != want {
			t.Errorf("Rod(%v) is of %v, want %v", asked, r.Item.Diameter, want)
		}
	}
}
