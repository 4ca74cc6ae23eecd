package designation

import (
	"regexp"
	"slices"
	"strings"
)

// patternA51 is AWS A5.1/A5.1M: strength in ksi or 10 MPa, position, covering, M, -1, H, R.
var patternA51 = regexp.MustCompile(`^E(?P<strength>60|70|43|49)(?P<position>[124])(?P<covering>\d)` +
	`(?P<m>M)?(?:-(?P<one>1))?(?:[- ]?H(?P<h>16|8|4|2))?(?:[- ]?(?P<r>R))?$`)

func grammarA51() grammar {
	return grammar{spec: A51, pattern: patternA51, read: readA51, check: checkA51, lacking: noShorthand}
}

func readA51(m *Mark) {
	m.Strength = m.number("strength")
	m.StrengthKSI = ksi(m.Strength)
	m.Covering = m.Position + m.Fields["covering"]
	m.Family = numberedFamily(m.Covering)
	m.M = m.Fields["m"] != ""
	m.One = m.Fields["one"] != ""
	m.Canonical = "E" + m.Fields["strength"] + m.Covering + m.Fields["m"] + m.prefixed("-", "one") +
		m.designators()
}

// checkA51 holds the combinations of AWS A5.1, as tabulated in UFC 3-320-01A table C-2.
func checkA51(m Mark) string {
	if !slices.Contains(coveringsA51(m.StrengthKSI), m.Covering) {
		return whyNotA51(m)
	}
	carriesM := m.StrengthKSI == 70 && m.Covering == "18"
	switch {
	case m.M && (!carriesM || m.One):
		return "M is printed on E7018M [E4918M] only"
	case m.M && (m.Hydrogen != 0 || m.R):
		return "E7018M carries neither H nor R in print, it already meets them"
	case m.One && !(m.StrengthKSI == 70 && slices.Contains([]string{"16", "18", "24"}, m.Covering)):
		return "-1 is printed on E7016, E7018 and E7024 only"
	}
	return checkDesignators(m)
}

// coveringsA51 lists the coverings that exist at a class strength.
func coveringsA51(ksi int) []string {
	if ksi == 60 {
		return []string{"10", "11", "12", "13", "18", "19", "20", "22", "27"}
	}
	return []string{"14", "15", "16", "18", "24", "27", "28", "48"}
}

func whyNotA51(m Mark) string {
	class := "E" + m.Fields["strength"]
	why := class + " exists with coverings " + strings.Join(coveringsA51(m.StrengthKSI), ", ") + " only"
	if m.StrengthKSI == 70 && (m.Family == Cellulosic) {
		why += "; A5.5 has it with an alloy suffix, for example " + class + m.Covering + "-P1"
	}
	return why
}
