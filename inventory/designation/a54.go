package designation

import "regexp"

// patternA54 is AWS A5.4/A5.4M: alloy number with letters, usability. The alloys are open:
// one that is not listed is read with a warning.
var (
	patternA54   = regexp.MustCompile(`^E(?P<alloy>16-8-2|\d{3,4}[A-Z]{0,4})-(?P<usability>15|16|17|25|26)$`)
	shorthandA54 = regexp.MustCompile(`^E(16-8-2|\d{3,4}[A-Z]{0,4})$`)
	// steelA54 finds the strength, position and covering of a carbon or low-alloy steel
	// mark (E7018) where an alloy number should stand.
	steelA54 = regexp.MustCompile(`^(43|49|55|57|60|62|69|70|76|80|83|90)[0124]\d$`)
)

func grammarA54() grammar {
	return grammar{spec: A54, pattern: patternA54, read: readA54, check: checkA54, lacking: lackingA54}
}

func readA54(m *Mark) {
	m.Alloy = m.Fields["alloy"]
	m.Family = Stainless
	m.Canonical = "E" + printed(A54, "alloy", m.Alloy) + "-" + m.Fields["usability"]
	if !isListed(A54, "alloy", m.Alloy) {
		m.warnUnlisted("alloy", m.Alloy)
	}
}

func checkA54(m Mark) string {
	if steelA54.MatchString(m.Alloy) {
		return m.Alloy + " reads as carbon or low-alloy steel, and -" + m.Fields["usability"] +
			" as stainless; copy the mark from the label"
	}
	return ""
}

func lackingA54(text string) (missing, example string) {
	groups := shorthandA54.FindStringSubmatch(text)
	if groups == nil || !isListed(A54, "alloy", groups[1]) {
		return "", ""
	}
	return "usability (15, 16, 17, 25 or 26)", text + "-16"
}
