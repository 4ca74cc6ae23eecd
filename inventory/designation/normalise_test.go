package designation_test

import (
	"testing"

	"ovenward/inventory/designation"
)

func TestTypographyDoesNotChangeTheMark(t *testing.T) {
	t.Parallel()
	tests := map[string]string{
		"e7018-1 h4r":                       "E7018-1 H4R",
		"  E7018 ":                          "E7018",
		"E7018\u20101":                      "E7018-1", // hyphen
		"E7018\u20111 H4R":                  "E7018-1 H4R",
		"E7018\u20131":                      "E7018-1", // en dash
		"E7018\u20141":                      "E7018-1", // em dash
		"E7018\u22121":                      "E7018-1", // minus sign
		"E7018\u00AD1":                      "E7018-1", // soft hyphen, as PDF text has it
		"E7018\uFF0D1":                      "E7018-1", // full width
		"E7018 - 1 H4 R":                    "E7018-1 H4R",
		"E7018\u00A0H4R":                    "E7018 H4R", // no-break space
		"E7018\u2009H4R":                    "E7018 H4R", // thin space
		"E7018\u202F\u202FH4R":              "E7018 H4R", // narrow no-break spaces
		"E7018\u200B":                       "E7018",     // zero width
		"E8018 \u2013 c3 h4r":               "E8018-C3 H4R",
		"e\u00A042\u00A04 b 42\th5":         "E 42 4 B 42 H5",
		"er70s\u20116":                      "ER70S-6",
		"AWS\u00A0A5.1\u00A0e7018 \u2212 1": "E7018-1",
	}
	for text, want := range tests {
		m, err := designation.Parse(text, "")
		if err != nil || m.Canonical != want {
			t.Errorf("Parse(%q) = %q, %v, want %q", text, m.Canonical, err, want)
		}
		if err == nil && m.Raw != text {
			t.Errorf("Parse(%q) keeps raw text %q, want the text as given", text, m.Raw)
		}
	}
}
