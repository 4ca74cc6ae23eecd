package designation

import "regexp"

// patternA536 is AWS A5.36/A5.36M: strength in 10 ksi or 10 MPa, position, usability, S for
// single pass, gas, condition, impact, deposit, D or Q, hydrogen (fields as in AWS
// D1.1:2020 annex M). The deposit is open: one that is not listed is read with a warning.
var (
	patternA536 = regexp.MustCompile(`^E(?P<strength>6|7|8|9|10|11|12|13|43|49|55|62|69|76|83|90)` +
		`(?P<position>[01])T(?P<usability>1[0-7]|[1-9]|GS|G)(?P<s>S)?-(?P<gas>C1|M[1-3]\d|I[1-3]|Z)?(?P<cond>[APG])` +
		`(?P<impact>15|10|[0-9YZG])-(?P<deposit>CS[1-3]|[A-Z][A-Z0-9]*)` +
		`(?:[- ](?P<dq>[DQ]))?(?:[- ]H(?P<h>16|8|4|2))?$`)
	shorthandA536 = regexp.MustCompile(`^E\d{1,2}[01]T(?:1[0-7]|[1-9]|GS|G)S?-(?:C1|M[1-3]\d|I[1-3]|Z)?[APG]` +
		`(?:15|10|[0-9YZG])$`)
	notDeposit = regexp.MustCompile(`^(D|Q|H(16|8|4|2))$`)
)

func grammarA536() grammar {
	return grammar{spec: A536, pattern: patternA536, read: readA536, check: checkA536, lacking: lackingA536}
}

func readA536(m *Mark) {
	m.Strength = m.number("strength")
	m.Family = CoredWire
	m.Alloy = m.Fields["deposit"]
	m.Canonical = "E" + m.Fields["strength"] + m.Position + "T" + m.Fields["usability"] + m.Fields["s"] +
		"-" + m.Fields["gas"] + m.Fields["cond"] + m.Fields["impact"] +
		"-" + printed(A536, "deposit", m.Alloy) + m.prefixed("-", "dq") + m.prefixed("-H", "h")
	if !isListed(A536, "deposit", m.Alloy) {
		m.warnUnlisted("deposit", m.Alloy)
	}
	warnNoGas(m)
}

func checkA536(m Mark) string {
	if notDeposit.MatchString(m.Alloy) {
		return m.Alloy + " is a designator, not a deposit; the deposit is missing, for example CS1"
	}
	return checkSelfShielded(m)
}

func lackingA536(text string) (missing, example string) {
	if !shorthandA536.MatchString(text) {
		return "", ""
	}
	return "deposit", text + "-CS1"
}
