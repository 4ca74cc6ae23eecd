package designation

import (
	"regexp"
	"slices"
	"strings"
)

// patternISO2560B is ISO 2560-B: tensile strength in 10 MPa, covering number, alloy, heat
// treatment (A as welded, P post-weld heat treated, AP both), U for the 47 J test, hydrogen.
var patternISO2560B = regexp.MustCompile(`^E(?P<tensile>43|49|55|57)` +
	`(?P<covering>03|10|11|12|13|14|15|16|18|19|20|24|27|28|40|45|48)` +
	`(?:-(?P<alloy>` + alternatives(ISO2560B, "alloy") + `))?(?P<heat>AP|A|P)?(?P<u>U)?(?:H(?P<h>5|10|15))?$`)

func grammarISO2560B() grammar {
	return grammar{
		spec: ISO2560B, pattern: patternISO2560B, compact: true,
		read: readISO2560B, check: checkISO2560B, lacking: noShorthand,
	}
}

func readISO2560B(m *Mark) {
	m.Strength = m.number("tensile")
	m.Covering = m.Fields["covering"]
	m.Family = numberedFamily(m.Covering)
	m.One = m.Fields["alloy"] == "1"
	if !m.One {
		m.Alloy = m.Fields["alloy"]
	}
	words := []string{
		"E" + m.Fields["tensile"] + m.Covering + m.prefixed("-", "alloy"),
		m.Fields["heat"], m.Fields["u"], m.prefixed("H", "h"),
	}
	m.Canonical = strings.Join(strings.Fields(strings.Join(words, " ")), " ")
}

// checkISO2560B refuses a hydrogen mark on coverings that cannot earn it and -1 where A5.1
// has none either (both from memory). Rutile-basic 03 and maker-stated 40 may carry H.
func checkISO2560B(m Mark) string {
	mayCarryH := m.LowHydrogen() || m.Covering == "03" || m.Covering == "40"
	switch {
	case m.Hydrogen != 0 && !mayCarryH:
		return "H does not stand on covering " + m.Covering + ", which is " + string(m.Family) + "; check the label"
	case m.One && !slices.Contains([]string{"16", "18", "24"}, m.Covering):
		return "-1 is printed on coverings 16, 18 and 24 only"
	}
	return ""
}
