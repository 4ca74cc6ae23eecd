package designation_test

import (
	"errors"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/inventory/designation"
)

// A5.1M and ISO 2560-B share marks such as E4918, A5.5M and ISO 2560-B share E5518-G.
func TestMarkOfTwoSpecificationsIsNotPickedSilently(t *testing.T) {
	t.Parallel()
	tests := []struct {
		text string
		want []designation.Spec
		says string
	}{
		{"E4918", []designation.Spec{"A5.1", "ISO 2560-B"},
			`"E4918" is ambiguous, it is A5.1 (E4918) and ISO 2560-B (E4918): ` +
				`name the specification, for example "A5.1 E4918"`},
		{"E4918-1", []designation.Spec{"A5.1", "ISO 2560-B"}, "A5.1 (E4918-1) and ISO 2560-B (E4918-1)"},
		{"E5518-G", []designation.Spec{"A5.5", "ISO 2560-B"}, "A5.5 (E5518-G) and ISO 2560-B (E5518-G)"},
	}
	for _, tt := range tests {
		_, err := designation.Parse(tt.text, "")
		e, ok := errors.AsType[*designation.AmbiguousError](err)
		if !ok {
			t.Errorf("Parse(%q): error %v, want an *AmbiguousError", tt.text, err)
			continue
		}
		if !strings.Contains(e.Error(), tt.says) {
			t.Errorf("Parse(%q): error %q, want it to say %q", tt.text, e, tt.says)
		}
		if diff := cmp.Diff(e.Candidates, designation.Candidates(tt.text)); diff != "" {
			t.Errorf("candidates of %q in the error and by Candidates (-error +Candidates):\n%s", tt.text, diff)
		}
		var got []designation.Spec
		for _, m := range e.Candidates {
			got = append(got, m.Spec)
			assertSameMark(t, m)
		}
		if diff := cmp.Diff(tt.want, got); diff != "" {
			t.Errorf("candidates of %q (-want +got):\n%s", tt.text, diff)
		}
	}
}

// Every listed mark that needs no hint must come out under its own specification; the rest
// are exactly the metric marks that AWS and ISO share.
func TestOnlySharedMetricMarksNeedAHint(t *testing.T) {
	t.Parallel()
	var ambiguous []string
	for _, l := range validMarks(t) {
		m, err := designation.Parse(l.text, "")
		if _, ok := errors.AsType[*designation.AmbiguousError](err); ok {
			ambiguous = append(ambiguous, l.grammar+" "+l.text)
			continue
		}
		if err != nil || m.Spec != l.spec(t) {
			t.Errorf("Parse(%q) without hint = %q, %v, want %q", l.text, m.Spec, err, l.spec(t))
		}
	}
	want := []string{"A5.1 E4310", "ISO2560-B E4918"}
	if diff := cmp.Diff(want, ambiguous); diff != "" {
		t.Errorf("ambiguous marks (-want +got):\n%s", diff)
	}
}

func TestShorthandSaysWhatIsMissing(t *testing.T) {
	t.Parallel()
	tests := []struct {
		text    string
		hint    designation.Spec
		missing string
		example string
	}{
		{"E8018", "", "alloy suffix", "E8018-C3"},
		{"E8018-H4R", "", "alloy suffix", "E8018-C3 H4R"},
		{"e8018 h4r", "", "alloy suffix", "E8018-C3 H4R"},
		{"E11018", "", "alloy suffix", "E11018M"},
		{"E12018 H4", "A5.5", "alloy suffix", "E12018M H4"},
		{"E9015", "", "alloy suffix", "E9015-G"},
		{"E8010", "", "alloy suffix", "E8010-P1"},
		{"E7018", "A5.5", "alloy suffix", "E7018-G"},
		{"E308L", "", "usability (15, 16, 17, 25 or 26)", "E308L-16"},
		{"E2209", "", "usability (15, 16, 17, 25 or 26)", "E2209-16"},
		{"E71T", "", "usability and gas", "E71T-1C"},
		{"E71T-", "", "usability and gas", "E71T-1C"},
		{"E71T1-C1A2", "", "deposit", "E71T1-C1A2-CS1"},
		{"F7A2", "", "wire", "F7A2-EM12K"},
		{"F48P3", "", "wire", "F48P3-EM12K"},
		{"ER70S", "", "type", "ER70S-6"},
		{"E70C", "", "type and gas", "E70C-6M"},
	}
	for _, tt := range tests {
		_, err := designation.Parse(tt.text, tt.hint)
		e, ok := errors.AsType[*designation.IncompleteError](err)
		if !ok {
			t.Errorf("Parse(%q, %q): error %v, want an *IncompleteError", tt.text, tt.hint, err)
			continue
		}
		want := designation.IncompleteError{Text: tt.text, Missing: tt.missing, Example: tt.example}
		if diff := cmp.Diff(want, *e); diff != "" {
			t.Errorf("Parse(%q, %q) (-want +got):\n%s", tt.text, tt.hint, diff)
		}
		if _, err := designation.Parse(e.Example, tt.hint); err != nil {
			t.Errorf("example for %q does not parse: %v", tt.text, err)
		}
	}
	_, err := designation.Parse("E8018", "")
	if want := `"E8018" is incomplete: alloy suffix missing, for example E8018-C3`; err.Error() != want {
		t.Errorf("error %q, want %q", err, want)
	}
}

func TestNearMissIsHelped(t *testing.T) {
	t.Parallel()
	tests := []struct {
		text string
		hint designation.Spec
		want string // the whole error
	}{
		{"7018", "", `"7018" is not a classification mark: marks begin with E, ER, EC or F: did you mean E7018?`},
		{"70S-6", "", `"70S-6" is not a classification mark: marks begin with E, ER, EC or F: did you mean ER70S-6?`},
		{"308L-16", "",
			`"308L-16" is not a classification mark: marks begin with E, ER, EC or F: did you mean E308L-16?`},
		{"7A2-EM12K", "",
			`"7A2-EM12K" is not a classification mark: marks begin with E, ER, EC or F: did you mean F7A2-EM12K?`},
		{"E 7018", "", `"E 7018" is not a classification mark: did you mean E7018?`},
		{"E7O18", "", `"E7O18" is not a classification mark: did you mean E7018?`},
		{"E70181", "", `"E70181" is not a classification mark: did you mean E7018-1?`},
		{"E-7018", "", `"E-7018" is not a classification mark: did you mean E7018?`},
		{"E7018RH4", "", `"E7018RH4" is not a classification mark: did you mean E7018 H4R?`},
		{"ER70S6", "", `"ER70S6" is not a classification mark: did you mean ER70S-6?`},
		{"E70S-6", "", `"E70S-6" is not a classification mark: did you mean ER70S-6?`},
		{"ER70C-6M", "", `"ER70C-6M" is not a classification mark: did you mean E70C-6M?`},
		{"E71T1C", "", `"E71T1C" is not a classification mark: did you mean E71T-1C?`},
		{"ER70S-6", "A5.1", `"ER70S-6" is not a mark of A5.1: it is A5.18 (ER70S-6); ` +
			`name that specification or check the label`},
		{"A5.1: 7018", "", `"A5.1: 7018" is not a mark of A5.1: marks begin with E, ER, EC or F: ` +
			`did you mean E7018?`},
		{"A5.1 E7O18", "", `"A5.1 E7O18" is not a mark of A5.1: did you mean E7018?`},
		{"A5.1; A5.5", "", `"A5.1; A5.5" is not a mark of A5.5: marks begin with E, ER, EC or F; ` +
			`copy it from the label letter by letter`},
		{"E7018 and then the rest of the printed text", "",
			`"E7018 and then the rest of the printed text" is not a classification mark; ` +
				`copy it from the label letter by letter`},
		{"E7018H5", "", `"E7018H5" is not a classification mark; copy it from the label letter by letter`},
		{"", "", `"" is not a classification mark: marks begin with E, ER, EC or F; ` +
			`copy it from the label letter by letter`},
	}
	for _, tt := range tests {
		_, err := designation.Parse(tt.text, tt.hint)
		if _, ok := errors.AsType[*designation.SyntaxError](err); !ok {
			t.Errorf("Parse(%q, %q): error %v, want a *SyntaxError", tt.text, tt.hint, err)
			continue
		}
		if err.Error() != tt.want {
			t.Errorf("Parse(%q, %q): error\n %s\nwant\n %s", tt.text, tt.hint, err, tt.want)
		}
	}
}

func TestUnlistedTokenMayBeAcceptedByHand(t *testing.T) {
	t.Parallel()
	tests := []struct {
		text, field, token, canonical string
		hydrogen                      int
	}{
		{"E9018-B10", "alloy", "B10", "E9018-B10", 0},
		{"E8018-X H4R", "alloy", "X", "E8018-X H4R", 4},
		{"F7A2-EM99K-H8", "wire", "EM99K", "F7A2-EM99K-H8", 8},
	}
	for _, tt := range tests {
		_, err := designation.Parse(tt.text, "")
		e, ok := errors.AsType[*designation.UnlistedError](err)
		if !ok {
			t.Errorf("Parse(%q): error %v, want an *UnlistedError", tt.text, err)
			continue
		}
		if e.Field != tt.field || e.Token != tt.token || e.Mark.Canonical != tt.canonical ||
			e.Mark.Hydrogen != tt.hydrogen || e.Mark.Raw != tt.text || len(e.Mark.Warnings) != 1 {
			t.Errorf("Parse(%q): error holds %s %q and mark %+v, want %s %q, %s, H%d and one warning",
				tt.text, e.Field, e.Token, e.Mark, tt.field, tt.token, tt.canonical, tt.hydrogen)
		}
	}
}

func TestLongTextIsNotLookedAt(t *testing.T) {
	t.Parallel()
	_, err := designation.Parse(strings.Repeat("E7018 / ", 100_000), "")
	if _, ok := errors.AsType[*designation.SyntaxError](err); !ok {
		t.Fatalf("error %v, want a *SyntaxError", err)
	}
	if got := designation.Candidates(strings.Repeat("E7018 / ", 100_000)); got != nil {
		t.Errorf("Candidates has %d readings, want none", len(got))
	}
	if len(err.Error()) > 200 {
		t.Errorf("error has %d bytes, want no more than 200: %s", len(err.Error()), err)
	}
}
