package rules_test

import (
	"strings"
	"testing"

	"ovenward/storage/rules"
)

// FuzzParse looks for text that makes the reader panic, for sets that it takes
// without an id or a first day, and for errors that do not name the file.
func FuzzParse(f *testing.F) {
	for _, id := range rules.ShippedIDs() {
		s, err := rules.Shipped(id)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(s.Text)
	}
	for _, text := range []string{"", sound, "[clock\n", "row = '", "= 1", "a.b = 1",
		"[[exposure]]\nrow = \"a\"\nlimit = 4", "[[hold]]\nmin = \"250\"",
		"[[exposure]]\nstrength_ksi = { min = -1, mox = 2 }",
		"[a]\nb = \"\"\"\n[[exposure]]\n\"\"\""} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s, err := rules.Parse("fuzz.toml", []byte(text))
		if err != nil {
			for line := range strings.Lines(err.Error()) {
				if strings.HasPrefix(line, "fuzz.toml") {
					return
				}
			}
			t.Fatalf("the error does not name the file: %v", err)
		}
		if s.ID == "" || s.ValidFrom == "" || s.Text != text {
			t.Fatalf("took a set without id or first day, or not as it stands: %+v", s)
		}
		again, err := rules.Parse("fuzz.toml", []byte(s.Text))
		if err != nil || again.Digest != s.Digest {
			t.Fatalf("its own text is refused: %v", err)
		}
	})
}
