package designation_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"ovenward/inventory/designation"
)

// A valid mark stays the same mark when a label prints it with other dashes, other spaces
// around them, small letters or its specification in front.
func TestPrintingVariantsReadAlike(t *testing.T) {
	t.Parallel()
	valid := validMarks(t)
	specs := make([]designation.Spec, len(valid))
	for i, l := range valid {
		specs[i] = l.spec(t)
	}
	rapid.Check(t, func(t *rapid.T) {
		i := rapid.IntRange(0, len(valid)-1).Draw(t, "mark")
		spec := specs[i]
		plain, err := designation.Parse(valid[i].text, spec)
		if err != nil {
			t.Fatalf("Parse(%q): %v", valid[i].text, err)
		}
		variant := reprint(t, plain.Canonical)
		if rapid.Bool().Draw(t, "name the specification") {
			variant = string(spec) + rapid.SampledFrom([]string{" ", ": ", " - "}).Draw(t, "colon") + variant
		}
		got, err := designation.Parse(variant, spec)
		if err != nil {
			t.Fatalf("Parse(%q): %v", variant, err)
		}
		if got.Canonical != plain.Canonical || got.Raw != variant {
			t.Fatalf("Parse(%q) = %q raw %q, want %q and the text", variant, got.Canonical, got.Raw, plain.Canonical)
		}
	})
}

// reprint changes a mark's typography without changing the mark.
func reprint(t *rapid.T, text string) string {
	dashes := rapid.SampledFrom([]string{
		"-", "\u2010", "\u2011", "\u2013", "\u2014", "\u2212", " - ", "\u2009\u2013 ",
	})
	spaces := rapid.SampledFrom([]string{" ", "  ", "\u00A0", "\u2009", "\u202F", "\t"})
	var b strings.Builder
	for _, r := range text {
		switch {
		case r == '-':
			b.WriteString(dashes.Draw(t, "dash"))
		case r == ' ':
			b.WriteString(spaces.Draw(t, "space"))
		case rapid.Bool().Draw(t, "small"):
			b.WriteString(strings.ToLower(string(r)))
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// Over all A5.1 digits and designators, what is accepted is exactly the list of A5.1
// classifications (UFC 3-320-01A table C-2), and H and R only where they may stand.
func TestA51AcceptsExactlyItsClassifications(t *testing.T) {
	t.Parallel()
	classes := strings.Fields("6010 6011 6012 6013 6018 6019 6020 6022 6027 " +
		"7014 7015 7016 7018 7024 7027 7028 7048")
	tougher := strings.Fields("7016 7018 7024")
	lowHydrogen := strings.Fields("6018 7015 7016 7018 7028 7048")
	rapid.Check(t, func(t *rapid.T) {
		digits := fmt.Sprintf("%d0%d%d", rapid.IntRange(6, 7).Draw(t, "strength"),
			rapid.IntRange(0, 9).Draw(t, "position"), rapid.IntRange(0, 9).Draw(t, "covering"))
		if rapid.Bool().Draw(t, "real") {
			digits = rapid.SampledFrom(classes).Draw(t, "class")
		}
		m := rapid.SampledFrom([]string{"", "", "M"}).Draw(t, "M")
		one := rapid.SampledFrom([]string{"", "", "-1"}).Draw(t, "one")
		h := rapid.SampledFrom([]string{"", " H4", "H8", "-H16"}).Draw(t, "hydrogen")
		r := rapid.SampledFrom([]string{"", "R"}).Draw(t, "moisture")
		want := slices.Contains(classes, digits) &&
			(m == "" || digits == "7018" && one == "" && h == "" && r == "") &&
			(one == "" || slices.Contains(tougher, digits)) &&
			(h == "" && r == "" || slices.Contains(lowHydrogen, digits))
		text := "E" + digits + m + one + h + r
		got, err := designation.Parse(text, designation.A51)
		if (err == nil) != want {
			t.Fatalf("Parse(%q) = %v, %v, want valid: %t", text, got, err, want)
		}
		if err == nil {
			assertSameMark(t, got)
		}
	})
}
