package designation_test

import (
	"errors"
	"testing"

	"ovenward/inventory/designation"
)

// FuzzParse checks that no text makes the parser panic, that the text as given is kept on
// every mark, and that every mark's canonical form parses again to the same mark.
func FuzzParse(f *testing.F) {
	for _, l := range listedMarks(f) {
		f.Add(l.text, "")
		f.Add(l.text, string(l.spec(f)))
	}
	for _, label := range []string{
		"E71T-1C/1M H8", "E316/E316L-16", "F7A2/F7P2-EM12K", "E7018-1 H4R / E4918-1 H4R", "E7018,;/",
		"AWS A5.1/A5.1M:2012 E7018", "EN ISO 2560-A - E 42 4 B 42 H5", "SFA-5.1: 7018", "A5.28 ER80S-D2",
		"E 42 4 Z(Mo/Ni) B 42", "E7018\u2013\u00A01", "e\u017F", "E42AZ(\xff)B", "E9018-B10",
	} {
		f.Add(label, "")
	}
	f.Fuzz(func(t *testing.T, text, hint string) {
		marks, err := designation.ParseLabel(text, designation.Spec(hint))
		if err != nil && (len(marks) != 0 || err.Error() == "") {
			t.Errorf("ParseLabel(%q, %q) = %d marks and error %q, want an error alone", text, hint, len(marks), err)
		}
		for _, m := range marks {
			if m.Raw != text {
				t.Errorf("ParseLabel(%q) keeps raw text %q", text, m.Raw)
			}
			assertSameMark(t, m)
		}
		one, err := designation.Parse(text, designation.Spec(hint))
		if err == nil && (len(marks) != 1 || one.Canonical != marks[0].Canonical) {
			t.Errorf("Parse(%q, %q) = %v, ParseLabel has %v", text, hint, one, marks)
		}
		if e, ok := errors.AsType[*designation.IncompleteError](err); ok {
			if _, err := designation.Parse(e.Example, ""); err != nil && !isAmbiguous(err) && hint == "" {
				t.Errorf("example %q for %q does not parse: %v", e.Example, text, err)
			}
		}
		for _, m := range designation.Candidates(text) {
			if m.Raw != text {
				t.Errorf("Candidates(%q) keeps raw text %q", text, m.Raw)
			}
			assertSameMark(t, m)
		}
	})
}

func isAmbiguous(err error) bool {
	_, ok := errors.AsType[*designation.AmbiguousError](err)
	return ok
}
