package designation_test

import (
	"errors"
	"strings"
	"testing"

	"ovenward/inventory/designation"
)

// Marks whose form is right and that cannot exist: AWS A5.1 combinations as tabulated in
// UFC 3-320-01A table C-2, self-shielded usabilities of A5.20, ISO 2560-A hydrogen marks on
// basic coverings only; the rows marked "memory" are from memory.
func TestContradictoryMarksAreRefusedWithReason(t *testing.T) {
	t.Parallel()
	tests := []struct {
		text string
		hint designation.Spec
		why  string // part of the reason
	}{
		{"E6010H4", "", "H and R stand only on low-hydrogen coverings"},
		{"E6013 R", "", "covering 13 is rutile"},
		{"E7014R", "", "covering 14 is rutile"},
		{"E7024-1 H8", "", "covering 24 is rutile"},
		{"E7028-1", "", "-1 is printed on E7016, E7018 and E7024 only"},
		{"E7048-1", "", "-1 is printed on"},
		{"E6018-1", "", "-1 is printed on"},
		{"E7010", "", "E70 exists with coverings 14, 15, 16, 18, 24, 27, 28, 48 only"},
		{"E7010", "", "for example E7010-P1"},
		{"E6014", "", "E60 exists with coverings 10, 11, 12, 13, 18, 19, 20, 22, 27 only"},
		{"E4310H4", "A5.1", "covering 10 is cellulosic"},
		{"E7018MH4", "", "carries neither H nor R"},
		{"E7018MR", "", "carries neither H nor R"},
		{"E7016M", "", "M is printed on E7018M"},
		{"E7018M-1", "", "M is printed on E7018M"},
		{"E7018M", "A5.5", "E7018M is an A5.1 mark"},
		{"E8018M", "", "M classes of A5.5 begin at E9018M"},
		{"E9016M", "", "covering 18 only"},               // memory
		{"E8010-P1 H4", "", "covering 10 is cellulosic"}, // as A5.1
		{"E8017-G", "", "there is no covering 17"},
		{"E 42 0 RR 12 H5", "", "H stands only on covering B"},
		{"E 38 3 C 21 H10", "", "covering C is cellulosic"},
		{"E 42 0 A 13 H5", "", "covering A is acid"},
		{"E 42 4 B 4", "", "may be efficiency or position"},
		{"E4313 A H5", "", "H does not stand on covering 13"},              // memory
		{"E4928-1 A", "", "-1 is printed on coverings 16, 18 and 24 only"}, // memory
		{"E7018-16", "", "reads as carbon or low-alloy steel"},
		{"E71T-8C", "", "usability 8 is self-shielded and takes no gas mark C"},
		{"E71T-11M", "", "usability 11 is self-shielded"},
		{"E71T8-C1A2-CS3", "", "usability 8 is self-shielded and takes no gas mark C1"},
		{"E71T8-A2-D", "", "D is a designator, not a deposit"},
		{"E71T8-A2-Q", "", "Q is a designator, not a deposit"},
		{"E71T8-A2-H8", "", "H8 is a designator, not a deposit"},
	}
	for _, tt := range tests {
		m, err := designation.Parse(tt.text, tt.hint)
		e, ok := errors.AsType[*designation.SemanticError](err)
		if !ok {
			t.Errorf("Parse(%q, %q) = %v, %v, want a *SemanticError", tt.text, tt.hint, m, err)
			continue
		}
		if !strings.Contains(e.Why, tt.why) {
			t.Errorf("Parse(%q, %q): reason %q, want it to hold %q", tt.text, tt.hint, e.Why, tt.why)
		}
		if e.Mark.Raw != tt.text {
			t.Errorf("Parse(%q): mark in the error has raw text %q, want the text", tt.text, e.Mark.Raw)
		}
		if got := designation.Candidates(tt.text); tt.hint == "" && len(got) != 0 {
			t.Errorf("Candidates(%q) = %v, want none", tt.text, got)
		}
	}
}

func TestHydrogenMarkIsAllowedWhereItMakesSense(t *testing.T) {
	t.Parallel()
	for _, text := range []string{"E 38 2 RB 12 H10", "E 42 4 B 42 H5", "E4903 A H10", "E4940 A H15", "E6018 H4"} {
		if _, err := designation.Parse(text, ""); err != nil {
			t.Errorf("Parse(%q): %v", text, err)
		}
	}
}
