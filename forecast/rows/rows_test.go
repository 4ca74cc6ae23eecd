package rows_test

import (
	"strings"
	"testing"

	"github.com/BurntSushi/toml"

	"ovenward/forecast/rows"
)

const text = rows.Text(`# a shop's own
[[density]]
class = "E7018"

[[ density ]]
class = "E6010"
# valu = "in a comment"
valu = "7.85 g/cm3"
[[rod]]
sizes = { diameter = "4 mm", longness = "350 mm" }
`)

// TestRowIsFoundByItsHeading counts the lines of the text above by hand.
func TestRowIsFoundByItsHeading(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		table string
		n     int
		label string
		want  string
	}{
		{"density", 0, "E7018", "line 2, density row 1 (E7018)"},
		{"density", 1, "", "line 5, density row 2"},
		{"rod", 0, "4 mm", "line 9, rod row 1 (4 mm)"},
		{"bead", 0, "4 mm", "bead row 1 (4 mm)"},
	} {
		if got := text.At(tt.table, tt.n, tt.label); got != tt.want {
			t.Errorf("At(%s, %d) = %q, want %q", tt.table, tt.n, got, tt.want)
		}
	}
}

// TestUnknownKeyIsFoundByItsLine holds for keys in rows and in inline tables; a
// key in a comment is none.
func TestUnknownKeyIsFoundByItsLine(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct{ text, want string }{
		{string(text), "line 8: key \"density.valu\" is not known"},
		{strings.Replace(string(text), "\nvalu =", "\nvalue =", 1), "line 10: key \"rod.sizes.longness\" is not known"},
	} {
		var f struct {
			Density []struct{ Class, Value string }
			Rod     []struct{ Sizes struct{ Diameter string } }
		}
		md, err := toml.Decode(tt.text, &f)
		if err != nil {
			t.Fatal(err)
		}
		if err := rows.Text(tt.text).UnknownKey(md); err == nil || !strings.HasPrefix(err.Error(), tt.want) {
			t.Errorf("UnknownKey() = %v, want %q", err, tt.want)
		}
	}
	if md, err := toml.Decode("", &struct{}{}); err != nil || rows.Text("").UnknownKey(md) != nil {
		t.Error("an empty file has an unknown key")
	}
}
