package designation

import (
	"regexp"
	"strings"
)

// stemA55 is strength in ksi or 10 MPa, position and covering of AWS A5.5/A5.5M; tailA55
// the designators. Between them stands the alloy suffix, which every mark has.
const (
	stemA55 = `^E(?P<strength>70|80|90|100|110|120|49|55|62|69|76|83)(?P<position>[12])(?P<covering>\d)`
	tailA55 = `(?:[- ]?H(?P<h>16|8|4|2))?(?:[- ]?(?P<r>R))?$`
)

// The hyphen before M is left out in print (E11018M), though shops write it; and some leave
// out the others. An unlisted suffix must have it, or any misprint would pass for a suffix.
var (
	patternA55   = regexp.MustCompile(stemA55 + `-?(?P<alloy>` + alternatives(A55, "alloy") + `)` + tailA55)
	unlistedA55  = regexp.MustCompile(stemA55 + `-(?P<alloy>[A-GI-Z][A-Z0-9]{0,3}?)` + tailA55)
	shorthandA55 = regexp.MustCompile(stemA55 + tailA55)
	headA55      = regexp.MustCompile(stemA55)
)

func grammarA55() grammar {
	return grammar{
		spec: A55, pattern: patternA55, read: readA55, check: checkA55,
		unlisted: unlistedA55, field: "alloy", lacking: lackingA55,
	}
}

func readA55(m *Mark) {
	m.Strength = m.number("strength")
	m.StrengthKSI = ksi(m.Strength)
	m.Covering = m.Position + m.Fields["covering"]
	m.Family = numberedFamily(m.Covering)
	m.Alloy = m.Fields["alloy"]
	m.M = m.Alloy == "M"
	suffix := "-" + m.Alloy
	if m.M {
		suffix = m.Alloy
	}
	m.Canonical = "E" + m.Fields["strength"] + m.Covering + suffix + m.designators()
}

func checkA55(m Mark) string {
	switch {
	case m.Family == "":
		return "there is no covering " + m.Covering
	case m.M && m.StrengthKSI < 90:
		return "M classes of A5.5 begin at E9018M; E7018M is an A5.1 mark"
	case m.M && m.Covering != "18":
		return "M classes of A5.5 have covering 18 only"
	}
	return checkDesignators(m)
}

// lackingA55 recognises the floor's shorthand without suffix, such as E8018 or E11018 H4R.
func lackingA55(text string) (missing, example string) {
	if !shorthandA55.MatchString(text) {
		return "", ""
	}
	stem := headA55.FindString(text)
	marks := strings.TrimLeft(text[len(stem):], " -")
	return "alloy suffix", strings.TrimSpace(stem + exampleSuffix(stem) + " " + marks)
}

// exampleSuffix returns a suffix that is common on marks with this stem.
func exampleSuffix(stem string) string {
	low := strings.HasSuffix(stem, "18")
	switch {
	case strings.HasSuffix(stem, "10"), strings.HasSuffix(stem, "11"):
		return "-P1"
	case low && (strings.HasPrefix(stem, "E80") || strings.HasPrefix(stem, "E55")):
		return "-C3"
	case low && !strings.HasPrefix(stem, "E70") && !strings.HasPrefix(stem, "E49"):
		return "M"
	}
	return "-G"
}
