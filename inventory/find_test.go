package inventory_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/inventory"
	"ovenward/inventory/designation"
)

// A lot is found by what its label, its paper or the scanner says, however that
// is written.
func TestALotIsFoundByAnyOfItsNames(t *testing.T) {
	t.Parallel()
	mark, err := designation.Parse("E7018-1 H4R", "")
	if err != nil {
		t.Fatal(err)
	}
	l := inventory.Lot{Code: "7B-21", Mark: mark, Maker: "Fjordmark", Certificate: "C-1042/7B21"}
	for text, want := range map[string][]string{
		"7b21":        {"lot", "certificate"},
		"7B 21":       {"lot", "certificate"},
		"c 1042":      {"certificate"},
		"E7018":       {"class"},
		"e7018-1 h4r": {"class"},
		"E70181H4R":   {"class"},
		"fjord":       {"maker"},
		"E8018":       nil,
		"":            nil,
		" - ":         nil,
	} {
		var got []string
		for _, m := range inventory.Holding(l.Mentions(), text) {
			got = append(got, m.What)
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%q (-want +got):\n%s", text, diff)
		}
	}
}
