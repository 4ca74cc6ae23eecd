package designation_test

import (
	"errors"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/inventory/designation"
)

func TestLabelWithSeveralMarks(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name  string
		label string
		hint  designation.Spec
		want  []string // "specification canonical"
	}{
		{"gas alone in the second, H8 for both", "E71T-1C/1M H8", "",
			[]string{"A5.20 E71T-1C H8", "A5.20 E71T-1M H8"}},
		{"typographic slash", "E71T-1C\u20441M", "", []string{"A5.20 E71T-1C", "A5.20 E71T-1M"}},
		{"second begins with its hyphen", "E71T-1C/-9C-J H8", "",
			[]string{"A5.20 E71T-1C H8", "A5.20 E71T-9C-J H8"}},
		{"usability for both", "E316/E316L-16", "", []string{"A5.4 E316-16", "A5.4 E316L-16"}},
		{"usability for both, E once", "E316/316L-16", "", []string{"A5.4 E316-16", "A5.4 E316L-16"}},
		{"alloy ends in a letter that is no R mark", "E320LR/E320-15", "",
			[]string{"A5.4 E320LR-15", "A5.4 E320-15"}},
		{"two usabilities", "E308L-16/17", "", []string{"A5.4 E308L-16", "A5.4 E308L-17"}},
		{"wire for both", "F7A2/F7P2-EM12K", "", []string{"A5.17 F7A2-EM12K", "A5.17 F7P2-EM12K"}},
		{"wire and hydrogen for both", "F7A2/F7P2-EM12K-H8", "",
			[]string{"A5.17 F7A2-EM12K-H8", "A5.17 F7P2-EM12K-H8"}},
		{"own wires", "F7A2-EL12; F7P4-EM12K", "", []string{"A5.17 F7A2-EL12", "A5.17 F7P4-EM12K"}},
		{"own designators", "E7018-1 H4R / E4918-1 H4R", "", []string{"A5.1 E7018-1 H4R", "A5.1 E4918-1 H4R"}},
		{"designators for both", "E7018-1 / E4918-1 H4R", "", []string{"A5.1 E7018-1 H4R", "A5.1 E4918-1 H4R"}},
		{"own designators stay", "E7018 H8, E7018-1 H4R", "", []string{"A5.1 E7018 H8", "A5.1 E7018-1 H4R"}},
		{"moisture mark of the last is not added to own designators", "E7018 H4 / E7018-1 R", "",
			[]string{"A5.1 E7018 H4", "A5.1 E7018-1 R"}},
		{"ISO designator is not for the AWS mark", "E7018 / E 42 4 B 42 H5", "",
			[]string{"A5.1 E7018", "ISO 2560-A E 42 4 B 42 H5"}},
		{"covering RR has no R mark to share", "E7018 / E 42 0 RR 12", "",
			[]string{"A5.1 E7018", "ISO 2560-A E 42 0 RR 12"}},
		{"hint for all", "E7018-1 / E4918-1", "A5.1", []string{"A5.1 E7018-1", "A5.1 E4918-1"}},
		{"specification for all", "AWS A5.1/A5.1M:2012 E7018 / E4918", "", []string{"A5.1 E7018", "A5.1 E4918"}},
		{"specification of each", "SFA-5.1: E7018 / EN ISO 2560-B - E4918 A", "",
			[]string{"A5.1 E7018", "ISO 2560-B E4918 A"}},
		{"specification after the first", "AWS E7018; A5.1/A5.1M E4918", "", []string{"A5.1 E7018", "A5.1 E4918"}},
		{"metal-cored under two specifications", "A5.18 E70C-6M H4 / A5.36 E70T15-M21A2-CS1-H4", "",
			[]string{"A5.18 E70C-6M H4", "A5.36 E70T15-M21A2-CS1-H4"}},
		{"hydrogen for both cored wires", "E71T1-C1A2-CS1/E71T1-M21A2-CS1-H8", "",
			[]string{"A5.36 E71T1-C1A2-CS1-H8", "A5.36 E71T1-M21A2-CS1-H8"}},
		{"separator in brackets", "E 42 4 Z(Mo/Ni) B 42", "", []string{"ISO 2560-A E 42 4 Z(MO/NI) B 42"}},
		{"trailing separator", "E7018,", "", []string{"A5.1 E7018"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			marks, err := designation.ParseLabel(tt.label, tt.hint)
			if err != nil {
				t.Fatalf("ParseLabel(%q, %q): %v", tt.label, tt.hint, err)
			}
			var got []string
			for _, m := range marks {
				got = append(got, string(m.Spec)+" "+m.Canonical)
				if m.Raw != tt.label {
					t.Errorf("%s has raw text %q, want the label %q", m, m.Raw, tt.label)
				}
			}
			if diff := cmp.Diff(tt.want, got); diff != "" {
				t.Errorf("ParseLabel(%q, %q) (-want +got):\n%s", tt.label, tt.hint, diff)
			}
		})
	}
}

func TestOneBadMarkSpoilsTheLabel(t *testing.T) {
	t.Parallel()
	_, err := designation.ParseLabel("E7018-1 H4R / E6010 H4", "")
	if _, ok := errors.AsType[*designation.SemanticError](err); !ok {
		t.Fatalf("error %v, want it to hold a *SemanticError", err)
	}
	if want := `mark 2 on the label "E7018-1 H4R / E6010 H4"`; !strings.HasPrefix(err.Error(), want) {
		t.Errorf("error %q, want it to begin with %q", err, want)
	}
	_, err = designation.ParseLabel("E7018-1 / E4918-1", "")
	if _, ok := errors.AsType[*designation.AmbiguousError](err); !ok {
		t.Errorf("E4918-1 without hint on a label: error %v, want it to hold an *AmbiguousError", err)
	}
}

func TestParseRefusesALabelWithSeveralMarks(t *testing.T) {
	t.Parallel()
	_, err := designation.Parse("F7A2/F7P2-EM12K", "")
	e, ok := errors.AsType[*designation.SeveralError](err)
	if !ok {
		t.Fatalf("error %v, want a *SeveralError", err)
	}
	if len(e.Marks) != 2 {
		t.Errorf("error holds %d marks, want 2", len(e.Marks))
	}
	want := `"F7A2/F7P2-EM12K" holds 2 marks, A5.17 (F7A2-EM12K) and A5.17 (F7P2-EM12K): enter one of them`
	if e.Error() != want {
		t.Errorf("error %q, want %q", e, want)
	}
}
