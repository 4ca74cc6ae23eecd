package designation

import (
	"regexp"
	"slices"
)

// patternA520 is AWS A5.20/A5.20M: strength in 10 ksi or 10 MPa, position, usability, gas,
// J (impact at -40 degrees), D or Q (heat input tests), hydrogen. The hyphen follows T.
var (
	patternA520 = regexp.MustCompile(`^E(?P<strength>6|7|43|49)(?P<position>[01])T-` +
		`(?P<usability>1[0-4]|[1-9]|GS|G)(?P<gas>[CM])?` +
		`(?:[- ]?(?P<j>J))?(?:[- ]?(?P<dq>[DQ]))?(?:[- ]?H(?P<h>16|8|4))?$`)
	shorthandA520 = regexp.MustCompile(`^(E(?:6|7|43|49)[01]T)-?$`)
)

func grammarA520() grammar {
	return grammar{
		spec: A520, pattern: patternA520, read: readA520, check: checkSelfShielded, lacking: lackingA520,
	}
}

func readA520(m *Mark) {
	m.Strength = m.number("strength")
	m.Family = CoredWire
	tests := m.Fields["j"] + m.Fields["dq"]
	if tests != "" {
		tests = "-" + tests
	}
	m.Canonical = "E" + m.Fields["strength"] + m.Position + "T-" + m.Fields["usability"] + m.Fields["gas"] +
		tests + m.designators()
	warnNoGas(m)
}

// selfShielded and gasShielded tell what a usability number of A5.20 or A5.36 says about
// gas. G and GS say nothing (AWS D1.1:2020 annex M table M.1 for 1, 4, 5, 7; else memory).
func selfShielded(usability string) bool {
	return slices.Contains([]string{"3", "4", "6", "7", "8", "10", "11", "13", "14"}, usability)
}

func gasShielded(usability string) bool {
	return slices.Contains([]string{"1", "2", "5", "9", "12"}, usability)
}

func checkSelfShielded(m Mark) string {
	gas, usability := m.Fields["gas"], m.Fields["usability"]
	if gas != "" && selfShielded(usability) {
		return "usability " + usability + " is self-shielded and takes no gas mark " + gas
	}
	return ""
}

// warnNoGas remarks on the older form E71T-1, printed before the gas letter was required.
func warnNoGas(m *Mark) {
	if m.Fields["gas"] == "" && gasShielded(m.Fields["usability"]) {
		m.warn("no gas mark: the form printed before it was required, the gas is unknown")
	}
}

func lackingA520(text string) (missing, example string) {
	groups := shorthandA520.FindStringSubmatch(text)
	if groups == nil {
		return "", ""
	}
	return "usability and gas", groups[1] + "-1C"
}
