package designation

import "regexp"

// grammarBare is that of bare wire and rod whose mark is ER and the alloy alone: AWS
// A5.9/A5.9M ("ER316L") and A5.14/A5.14M ("ERNiCu-7"). Both are from memory. An alloy that
// is not listed must at least begin as those of the specification do.
func grammarBare(spec Spec) grammar {
	unlisted := `\d{3,4}[A-Z]{0,6}`
	if spec == A514 {
		unlisted = `NI[A-Z]{0,8}-\d{1,2}[A-Z]?`
	}
	return grammar{
		spec: spec, compact: true, pattern: regexp.MustCompile(`^ER(?P<alloy>` + alternatives(spec, "alloy") + `)$`),
		read: func(m *Mark) { readBare(m, spec) }, check: anyMeaning, lacking: noShorthand,
		unlisted: regexp.MustCompile(`^ER(?P<alloy>` + unlisted + `)$`), field: "alloy",
	}
}

func readBare(m *Mark, spec Spec) {
	m.Alloy = m.Fields["alloy"]
	m.Family = SolidWire
	m.Canonical = "ER" + printed(spec, "alloy", m.Alloy)
}
