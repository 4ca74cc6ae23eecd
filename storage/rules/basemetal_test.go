package rules_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/storage/rules"
)

// TestTheA514SetAddsToColumnA: it says of everything else what the set of column A
// says, so that a job on other steel may stay with either.
func TestTheA514SetAddsToColumnA(t *testing.T) {
	t.Parallel()
	a, b := shipped(t, "structural-2015-a"), shipped(t, "structural-2015-a514")
	var kept []rules.Said
	for _, s := range b.Describe() {
		if s.Kind != "base metal" {
			kept = append(kept, s)
		}
	}
	if diff := cmp.Diff(a.Describe(), kept); diff != "" {
		t.Errorf("rows besides those of base metals (-column A set +A514 set):\n%s", diff)
	}
	if a.Clock != b.Clock || a.Evidence != b.Evidence || a.Bakes != b.Bakes || a.Oven != b.Oven {
		t.Error("the policies differ")
	}
}

// TestForBaseMetalByClassAndSeal: D1.1:2015 5.3.2.5. E90 and higher may be used as
// they came out of a tight package; what it says of E80 and lower, of E7018M and of
// H4 with R is from memory.
func TestForBaseMetalByClassAndSeal(t *testing.T) {
	t.Parallel()
	s := shipped(t, "structural-2015-a514")
	for _, c := range []struct {
		class, metal, tight, broken string
	}{
		{"E11018M", "A514", "a514-e90-up-tight", "a514-e90-up-baked"},
		{"E9018-B3", "A517", "a514-e90-up-tight", "a514-e90-up-baked"},
		{"E8018-C3", "a514", "a514-e80-down-baked", "a514-e80-down-baked"},
		{"E8018-C3 H4R", "A514", "a514-h4r-tight", "a514-e80-down-baked"},
		{"E7018-1 H4R", "A514", "a514-h4r-tight", "a514-e80-down-baked"},
		{"E7018 H4", "A514", "a514-e80-down-baked", "a514-e80-down-baked"},
		{"E7018-1 H8R", "A514", "a514-e80-down-baked", "a514-e80-down-baked"},
		{"E7018M", "A514", "a514-e7018m-tight", "a514-e80-down-baked"},
		{"E6010", "A514", "", ""},
		{"E7018", "A36", "", ""},
	} {
		sub := stock(t, c.class)
		for tight, want := range map[bool]string{true: c.tight, false: c.broken} {
			sub.Tight = tight
			got := ""
			if row := s.ForBaseMetal(sub, c.metal); row != nil {
				got = row.Row
			}
			if got != want {
				t.Errorf("%s on %s, tight %t: row %q, want %q", c.class, c.metal, tight, got, want)
			}
		}
	}
	if !s.KnowsBaseMetal("A517") || s.KnowsBaseMetal("A36") {
		t.Error("the set must know A517 and not A36")
	}
}

// TestBaseMetalBakeIsOfTheCode: at least 1 h at 700 to 800 °F (5.3.2.5), behind the
// start at half that every bake has (5.3.2.4).
func TestBaseMetalBakeIsOfTheCode(t *testing.T) {
	t.Parallel()
	row := shipped(t, "structural-2015-a514").ForBaseMetal(stock(t, "E8018-C3"), "A514")
	if row == nil {
		t.Fatal("no row for E8018-C3 on A514")
	}
	b := row.Bake()
	got := []string{b.Min.String(), b.Max.String(), b.Soak.String(), b.Presoak.String()}
	if diff := cmp.Diff([]string{"700 F", "800 F", "1:00", "0:30"}, got); diff != "" {
		t.Errorf("bake on A514 (-want +got):\n%s", diff)
	}
	if row.Status != rules.Memory {
		t.Errorf("status %q, want %q: the row was not read in a copy of the code", row.Status, rules.Memory)
	}
}
