package designation_test

import (
	"maps"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/inventory/designation"
)

// A listedMark is one line of testdata/marks.txt.
type listedMark struct {
	grammar string // "A5.18-SOLID"
	text    string
	fields  map[string]string // nil for INVALID
}

// spec returns the specification of the grammar: A5.18 has two grammars, and the file
// writes ISO specifications without their space.
func (l listedMark) spec(t testing.TB) designation.Spec {
	t.Helper()
	name := strings.TrimSuffix(strings.TrimSuffix(l.grammar, "-SOLID"), "-CORED")
	spec, err := designation.ParseSpec(name)
	if err != nil {
		t.Fatalf("ParseSpec(%q): %v", name, err)
	}
	return spec
}

// listedMarks reads testdata/marks.txt.
func listedMarks(t testing.TB) []listedMark {
	t.Helper()
	data, err := os.ReadFile("testdata/marks.txt")
	if err != nil {
		t.Fatal(err)
	}
	var all []listedMark
	grammar := ""
	for line := range strings.Lines(string(data)) {
		line = strings.TrimSpace(line)
		text, result, isMark := strings.Cut(line, " => ")
		switch {
		case line == "" || strings.HasPrefix(line, "#"):
		case strings.HasPrefix(line, "["):
			grammar = strings.Trim(line, "[]")
		case !isMark:
			t.Fatalf("testdata/marks.txt: %q is no mark", line)
		default:
			all = append(all, listedMark{grammar, text, listedFields(result)})
		}
	}
	return all
}

func listedFields(result string) map[string]string {
	if result == "INVALID" {
		return nil
	}
	fields := map[string]string{}
	for _, pair := range strings.Fields(result) {
		name, value, _ := strings.Cut(pair, "=")
		fields[name] = value
	}
	return fields
}

// validMarks returns the marks of listedMarks that are valid.
func validMarks(t testing.TB) []listedMark {
	t.Helper()
	var valid []listedMark
	for _, l := range listedMarks(t) {
		if l.fields != nil {
			valid = append(valid, l)
		}
	}
	return valid
}

func TestEveryGrammarReadsItsListedMarks(t *testing.T) {
	t.Parallel()
	counts := map[string]int{}
	for _, l := range listedMarks(t) {
		counts[l.grammar]++
		m, err := designation.Parse(l.text, l.spec(t))
		if l.fields == nil {
			if err == nil {
				t.Errorf("%s: Parse(%q) = %v, want an error", l.grammar, l.text, m.Canonical)
			}
			continue
		}
		if err != nil {
			t.Errorf("%s: Parse(%q): %v", l.grammar, l.text, err)
			continue
		}
		if diff := cmp.Diff(l.fields, m.Fields); diff != "" {
			t.Errorf("%s: Parse(%q) fields (-want +got):\n%s", l.grammar, l.text, diff)
		}
		if m.Spec != l.spec(t) || m.Raw != l.text {
			t.Errorf("Parse(%q) = spec %q raw %q, want %q and the text", l.text, m.Spec, m.Raw, l.spec(t))
		}
	}
	// The number of marks listed for each grammar, so that a lost section is noticed.
	want := map[string]int{
		"A5.1": 32, "A5.5": 29, "ISO2560-A": 26, "ISO2560-B": 25, "A5.4": 25,
		"A5.20": 29, "A5.36": 23, "A5.17": 29, "A5.18-SOLID": 21, "A5.18-CORED": 19, "A5.9": 9, "A5.14": 8,
	}
	if !maps.Equal(counts, want) {
		t.Errorf("marks per grammar (-want +got):\n%s", cmp.Diff(want, counts))
	}
}

func TestCanonicalFormParsesToTheSameMark(t *testing.T) {
	t.Parallel()
	for _, l := range validMarks(t) {
		first, err := designation.Parse(l.text, l.spec(t))
		if err != nil {
			t.Errorf("Parse(%q): %v", l.text, err)
			continue
		}
		if first.String() != first.Canonical {
			t.Errorf("String() of %q = %q, want the canonical form %q", l.text, first, first.Canonical)
		}
		assertSameMark(t, first)
	}
}

// assertSameMark checks that the canonical form of a mark parses, under its specification,
// to the same mark in all but the text as given.
func assertSameMark(t interface {
	Helper()
	Errorf(format string, args ...any)
}, first designation.Mark) {
	t.Helper()
	second, err := designation.Parse(first.Canonical, first.Spec)
	if err != nil {
		t.Errorf("canonical form of %q: Parse(%q, %q): %v", first.Raw, first.Canonical, first.Spec, err)
		return
	}
	first.Raw = first.Canonical
	if diff := cmp.Diff(first, second); diff != "" {
		t.Errorf("Parse(%q) of the canonical form (-first +second):\n%s", first.Canonical, diff)
	}
}
