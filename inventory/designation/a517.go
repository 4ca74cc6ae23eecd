package designation

import (
	"regexp"
	"strings"
)

// headA517 is the flux half of AWS A5.17/A5.17M: S for crushed slag, then strength in
// 10 ksi or 10 MPa, condition and impact, whose digits differ between the unit systems.
const headA517 = `^F(?P<s>S)?(?:(?P<us>6|7)(?P<cond_us>A|P)(?P<imp_us>[Z024568])|` +
	`(?P<si>43|48)(?P<cond_si>A|P)(?P<imp_si>[Z023456]))`

const tailA517 = `(?:[- ]?H(?P<h>16|8|4|2))?$`

// The wire half follows; an unlisted wire must at least begin as wires do.
var (
	patternA517   = regexp.MustCompile(headA517 + `-(?P<wire>` + alternatives(A517, "wire") + `)` + tailA517)
	unlistedA517  = regexp.MustCompile(headA517 + `-(?P<wire>E[LMHC][A-Z0-9]{1,4}?)` + tailA517)
	shorthandA517 = regexp.MustCompile(headA517 + `$`)
)

func grammarA517() grammar {
	return grammar{
		spec: A517, pattern: patternA517, read: readA517, check: anyMeaning,
		unlisted: unlistedA517, field: "wire", lacking: lackingA517,
	}
}

// readA517 leaves the wire in Fields: the mark describes the flux, one half of the pair.
func readA517(m *Mark) {
	m.Strength = m.number("us") + m.number("si") // one of them is present
	m.Family = SAWFlux
	m.Canonical = "F" + m.Fields["s"] + m.Fields["us"] + m.Fields["cond_us"] + m.Fields["imp_us"] +
		m.Fields["si"] + m.Fields["cond_si"] + m.Fields["imp_si"] + "-" + m.Fields["wire"] + m.prefixed("-H", "h")
}

// patternA517Wire is the wire half by itself, as the drum or coil is labelled.
var patternA517Wire = regexp.MustCompile(`^(?P<wire>` + alternatives(A517, "wire") + `)$`)

// grammarA517Wire reads the wire that a flux goes with: EM12K.
func grammarA517Wire() grammar {
	return grammar{spec: A517, pattern: patternA517Wire, read: readA517Wire, check: anyMeaning, lacking: noShorthand}
}

func readA517Wire(m *Mark) {
	m.Family = SolidWire
	if strings.HasPrefix(m.Fields["wire"], "EC") {
		m.Family = CoredWire
	}
	m.Canonical = m.Fields["wire"]
}

func lackingA517(text string) (missing, example string) {
	if !shorthandA517.MatchString(text) {
		return "", ""
	}
	return "wire", text + "-EM12K"
}
