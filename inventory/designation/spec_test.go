package designation_test

import (
	"errors"
	"testing"

	"ovenward/inventory/designation"
)

func TestParseSpecAsPeopleWriteIt(t *testing.T) {
	t.Parallel()
	tests := map[string]designation.Spec{
		"A5.1": "A5.1", "a5.1m": "A5.1", "AWS A5.1": "A5.1", "AWS A 5.1": "A5.1", "SFA-5.1": "A5.1",
		"SFA 5.1": "A5.1", "ASME SFA-5.1": "A5.1", "AWS/ASME SFA-5.1": "A5.1", "A5.1/A5.1M:2012": "A5.1",
		"AWS A5.1/A5.1M-2012": "A5.1", "ANSI/AWS A5.1-91": "A5.1", "A5.20/A5.20M": "A5.20",
		"EN ISO 2560-A": "ISO 2560-A", "iso2560-b": "ISO 2560-B", "DIN EN ISO 2560-A:2009": "ISO 2560-A",
		"ISO 2560:2020-B": "ISO 2560-B", "ISO 2560\u2011A": "ISO 2560-A",
	}
	for text, want := range tests {
		got, err := designation.ParseSpec(text)
		if err != nil || got != want {
			t.Errorf("ParseSpec(%q) = %q, %v, want %q", text, got, err, want)
		}
	}
	for _, want := range designation.Specs() {
		if got, err := designation.ParseSpec(string(want)); err != nil || got != want {
			t.Errorf("ParseSpec(%q) = %q, %v, want the same", want, got, err)
		}
	}
}

func TestParseSpecRefusesWhatIsNotExact(t *testing.T) {
	t.Parallel()
	for _, text := range []string{
		"", "5.1", "A5", "A5.28", "A5.1/A5.5M", "ISO 2560", "AWS", "E7018", "A5.1 E7018",
	} {
		got, err := designation.ParseSpec(text)
		if _, ok := errors.AsType[*designation.SpecError](err); !ok {
			t.Errorf("ParseSpec(%q) = %q, %v, want a *SpecError", text, got, err)
		}
	}
}

func TestSpecificationInTheTextIsHeeded(t *testing.T) {
	t.Parallel()
	tests := []struct {
		text      string
		hint      designation.Spec
		spec      designation.Spec
		canonical string
	}{
		{"AWS A5.1 E7018", "", "A5.1", "E7018"},
		{"SFA-5.1 E4918", "", "A5.1", "E4918"},
		{"SFA-5.1: E4918", "", "A5.1", "E4918"},
		{"A5.1/A5.1M:2012 E7018", "", "A5.1", "E7018"},
		{"AWS A5.1/A5.1M: E4918-1", "", "A5.1", "E4918-1"},
		{"A5.1-91 E4918", "", "A5.1", "E4918"},
		{"AWS E4918", "", "A5.1", "E4918"},
		{"EN ISO 2560-A - E 42 4 B 42 H5", "", "ISO 2560-A", "E 42 4 B 42 H5"},
		{"ISO 2560-A-E 42 4 B 42 H5", "", "ISO 2560-A", "E 42 4 B 42 H5"},
		{"DIN EN ISO 2560-A:2009 \u2013 E 42 4 B 42 H5", "", "ISO 2560-A", "E 42 4 B 42 H5"},
		{"ISO 2560 - E4918", "", "ISO 2560-B", "E4918"},
		{"ISO 2560-B E4918", "A5.1", "ISO 2560-B", "E4918"}, // the label outweighs the hint
		{"A5.5 E5518-G", "", "A5.5", "E5518-G"},
		{"E4918", "ISO 2560-B", "ISO 2560-B", "E4918"},
		{"E5518-G", "ISO 2560-B", "ISO 2560-B", "E5518-G"},
	}
	for _, tt := range tests {
		m, err := designation.Parse(tt.text, tt.hint)
		if err != nil {
			t.Errorf("Parse(%q, %q): %v", tt.text, tt.hint, err)
			continue
		}
		if m.Spec != tt.spec || m.Canonical != tt.canonical || m.Raw != tt.text {
			t.Errorf("Parse(%q, %q) = %q %q raw %q, want %q %q and the text",
				tt.text, tt.hint, m.Spec, m.Canonical, m.Raw, tt.spec, tt.canonical)
		}
	}
}

func TestUnknownSpecificationIsNamed(t *testing.T) {
	t.Parallel()
	tests := []struct {
		text string
		hint designation.Spec
		want string
	}{
		{"AWS A5.28 ER80S-D2", "", "AWS A5.28"},
		{"A5.1/A5.5M E7018", "", "A5.1/A5.5M"},
		{"E7018 / AWS A5.99 E7018", "", "AWS A5.99"},
		{"E7018", "A5.99", "A5.99"},
		{"E7018", "a5.1", "a5.1"}, // a hint is exact; ParseSpec makes it so
	}
	for _, tt := range tests {
		_, err := designation.Parse(tt.text, tt.hint)
		e, ok := errors.AsType[*designation.SpecError](err)
		if !ok || e.Text != tt.want {
			t.Errorf("Parse(%q, %q): error %v, want a *SpecError about %q", tt.text, tt.hint, err, tt.want)
		}
	}
}
