package designation

import (
	"regexp"
	"strings"
)

// patternISO2560A is ISO 2560-A: yield strength in 10 MPa, impact, alloy, covering,
// efficiency, position, hydrogen. It reads from left to right: in E 42 A RR 53 the A is
// the impact symbol, in E 42 0 A 13 it is the acid covering; Z likewise.
var patternISO2560A = regexp.MustCompile(`^E(?P<yield>35|38|42|46|50)(?P<impact>[ZA023456])` +
	`(?P<alloy>Z\([^)]*\)|` + alternatives(ISO2560A, "alloy") + `)?(?P<covering>RR|RC|RA|RB|A|B|C|R)` +
	`(?P<eff>[1-8])?(?P<position>[1-5])?(?:H(?P<h>5|10|15))?$`)

func grammarISO2560A() grammar {
	return grammar{
		spec: ISO2560A, pattern: patternISO2560A, compact: true,
		read: readISO2560A, check: checkISO2560A, lacking: noShorthand,
	}
}

func readISO2560A(m *Mark) {
	m.Strength = m.number("yield")
	m.Alloy = m.Fields["alloy"]
	m.Covering = m.Fields["covering"]
	m.Family = letteredFamily(m.Covering)
	words := []string{
		"E", m.Fields["yield"], m.Fields["impact"], printed(ISO2560A, "alloy", m.Alloy), m.Covering,
		m.Fields["eff"] + m.Position, m.prefixed("H", "h"),
	}
	m.Canonical = strings.Join(strings.Fields(strings.Join(words, " ")), " ")
}

// letteredFamily returns the family of a covering letter of ISO 2560-A. RB is rutile-basic:
// it may carry a hydrogen mark by test, and is not dried as a basic covering.
func letteredFamily(covering string) Family {
	switch covering {
	case "A":
		return Acid
	case "B":
		return LowHydrogen
	case "C":
		return Cellulosic
	}
	return Rutile
}

func checkISO2560A(m Mark) string {
	switch {
	case m.Fields["eff"] != "" && m.Position == "":
		return "one digit after the covering may be efficiency or position; print both, for example " +
			m.Covering + " 42"
	case m.Hydrogen != 0 && m.Covering != "B" && m.Covering != "RB":
		return "H stands only on covering B, and on RB by test; covering " + m.Covering + " is " +
			string(m.Family) + "; check the label"
	}
	return ""
}
