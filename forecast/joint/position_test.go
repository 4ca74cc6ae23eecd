package joint_test

import (
	"strings"
	"testing"

	"ovenward/forecast/joint"
	"ovenward/inventory/designation"
)

// TestPositionsAreReadAsPeopleWriteThem holds the marks of both systems and words.
func TestPositionsAreReadAsPeopleWriteThem(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]joint.Position{
		"3g": "3G", " PF ": "PF", "flat": "1G", "Vertical up": "PF", "overhead": "4G", "h-l045": "H-L045", "6 GR": "6GR",
	} {
		if got, ok := joint.ParsePosition(text); !ok || got != want {
			t.Errorf("ParsePosition(%q) = %q, %v, want %q", text, got, ok, want)
		}
	}
	for _, p := range joint.Positions() {
		if got, ok := joint.ParsePosition(string(p)); !ok || got != p {
			t.Errorf("%s reads as %q, %v", p, got, ok)
		}
	}
	for _, bad := range []string{"7G", "PZ", "G3", "yes"} {
		if got, ok := joint.ParsePosition(bad); ok {
			t.Errorf("ParsePosition(%q) = %q, want none", bad, got)
		}
	}
}

// TestAClassLacksThePositionsItIsNotFor sets ISO 6947 and the American marks (from
// memory) against position digits.
func TestAClassLacksThePositionsItIsNotFor(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		mark     string
		position joint.Position
		want     string
	}{
		{"E7018", "3G", ""},
		{"E7018", "6G", ""},
		{"E7024", "1G", ""},
		{"E7024", "2F", ""},
		{"E7024", "2G", "horizontal groove"},
		{"E7024", "4F", "overhead"},
		{"E7024", "5G", "vertical up or vertical down; overhead"},
		{"E7048", "3G", ""}, // downward, which 3G leaves open
		{"E7048", "PF", "vertical up"},
		{"E7048", "PG", ""},
		{"E 42 4 B 42 H5", "PG", "vertical down"},
		{"E 42 4 B 42 H5", "PJ", "vertical down"},
		{"E 42 4 B 42 H5", "PH", ""},
		{"E70T-4", "PB", ""},
		{"E70T-4", "H-L045", "vertical up; overhead"},
		{"ER70S-6", "4G", ""}, // its mark says nothing
		{"E7024", "", ""},     // not given
	} {
		m, err := designation.Parse(c.mark, "")
		if err != nil {
			t.Fatal(err)
		}
		lacks, _ := c.position.Lacks(m)
		if got := strings.Join(lacks, "; "); got != c.want {
			t.Errorf("%s in %q lacks %q, want %q", c.mark, c.position, got, c.want)
		}
	}
}
