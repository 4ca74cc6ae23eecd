package designation

import "regexp"

// The two patterns of AWS A5.18/A5.18M: strength in ksi or 10 MPa; S solid with type and N
// for nuclear limits, C composite (metal-cored) with type or GS (single pass) and gas.
var (
	patternA518Solid = regexp.MustCompile(`^ER(?P<strength>70|48)S-(?P<type>2|3|4|6|7|G)(?P<n>N)?` +
		`(?:[- ]?H(?P<h>16|8|4|2))?$`)
	patternA518Cored = regexp.MustCompile(`^E(?P<strength>70|48)C-(?:(?P<gs>GS)|(?P<type>3|6|G))(?P<gas>[CM])?` +
		`(?:[- ]?H(?P<h>16|8|4|2))?$`)
	shorthandA518Solid = regexp.MustCompile(`^(ER(?:70|48)S)-?$`)
	shorthandA518Cored = regexp.MustCompile(`^(E(?:70|48)C)-?$`)
)

func grammarA518Solid() grammar {
	return grammar{
		spec: A518, pattern: patternA518Solid, read: readA518Solid, check: anyMeaning,
		lacking: lackingA518Solid,
	}
}

func readA518Solid(m *Mark) {
	m.Strength = m.number("strength")
	m.Family = SolidWire
	m.Canonical = "ER" + m.Fields["strength"] + "S-" + m.Fields["type"] + m.Fields["n"] + m.designators()
}

func lackingA518Solid(text string) (missing, example string) {
	groups := shorthandA518Solid.FindStringSubmatch(text)
	if groups == nil {
		return "", ""
	}
	return "type", groups[1] + "-6"
}

func grammarA518Cored() grammar {
	return grammar{
		spec: A518, pattern: patternA518Cored, read: readA518Cored, check: anyMeaning,
		lacking: lackingA518Cored,
	}
}

func readA518Cored(m *Mark) {
	m.Strength = m.number("strength")
	m.Family = CoredWire
	m.Canonical = "E" + m.Fields["strength"] + "C-" + m.Fields["gs"] + m.Fields["type"] + m.Fields["gas"] +
		m.designators()
	if m.Fields["gas"] == "" && (m.Fields["type"] == "3" || m.Fields["type"] == "6") {
		m.warn("no gas mark: the gas is unknown")
	}
}

func lackingA518Cored(text string) (missing, example string) {
	groups := shorthandA518Cored.FindStringSubmatch(text)
	if groups == nil {
		return "", ""
	}
	return "type and gas", groups[1] + "-6M"
}
