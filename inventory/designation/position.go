package designation

// An Attitude is how the weld lies when it is made.
type Attitude string

// The attitudes that position digits tell apart.
const (
	Flat             Attitude = "flat"
	HorizontalFillet Attitude = "horizontal fillet"
	Horizontal       Attitude = "horizontal groove"
	VerticalUp       Attitude = "vertical up"
	VerticalDown     Attitude = "vertical down"
	Overhead         Attitude = "overhead"
)

// everywhere is all attitudes.
func everywhere() []Attitude {
	return []Attitude{Flat, HorizontalFillet, Horizontal, VerticalUp, VerticalDown, Overhead}
}

// Positions returns the attitudes that a mark is classified for, with what in it
// says so; nothing where the mark says nothing of them, as that of solid wire.
//
// The digits are those of AWS A5.1 and A5.5 (1, 2, 4), A5.20 and A5.36 (0, 1) and
// ISO 2560-A (1 to 5); the coverings of ISO 2560-B and the usabilities of A5.4
// include them. All from memory: compare them with your own edition.
func (m Mark) Positions() (all []Attitude, by string) {
	digit := "position digit " + m.Position
	switch m.Spec {
	case A51, A55:
		return positionsA51(m.Position), digit
	case A520, A536:
		if m.Position == "0" {
			return []Attitude{Flat, HorizontalFillet, Horizontal}, digit
		}
		return everywhere(), digit
	case ISO2560A:
		return positionsISO2560A(m.Position), digit
	case ISO2560B:
		return positionsISO2560B(m.Covering), "covering " + m.Covering
	case A54:
		usability := m.Fields["usability"]
		if usability == "25" || usability == "26" {
			return []Attitude{Flat, HorizontalFillet, Horizontal}, "usability " + usability
		}
		return everywhere(), "usability " + usability
	case A517:
		return []Attitude{Flat, HorizontalFillet, Horizontal}, "submerged arc"
	case A518, A59, A514:
	}
	return nil, ""
}

// positionsA51 are those of the third digit of E7018. Digit 1 does not restrict
// the direction of vertical welding.
func positionsA51(digit string) []Attitude {
	switch digit {
	case "1":
		return everywhere()
	case "2":
		return []Attitude{Flat, HorizontalFillet}
	case "4":
		return []Attitude{Flat, HorizontalFillet, Horizontal, VerticalDown, Overhead}
	}
	return nil
}

func positionsISO2560A(digit string) []Attitude {
	switch digit {
	case "1":
		return everywhere()
	case "2":
		return []Attitude{Flat, HorizontalFillet, Horizontal, VerticalUp, Overhead}
	case "3":
		return []Attitude{Flat, HorizontalFillet}
	case "4":
		return []Attitude{Flat}
	case "5":
		return []Attitude{Flat, HorizontalFillet, VerticalDown}
	}
	return nil
}

func positionsISO2560B(covering string) []Attitude {
	switch covering {
	case "20", "24", "27":
		return []Attitude{Flat, HorizontalFillet}
	case "28":
		return []Attitude{Flat, HorizontalFillet, Horizontal}
	case "40": // the maker's to say
		return nil
	}
	return everywhere()
}

// SelfShielded reports whether a cored wire's usability number says that it needs
// no gas, GasShielded whether it says that it does. G and GS say neither.
func SelfShielded(m Mark) bool { return selfShielded(m.Fields["usability"]) }

// GasShielded is described with SelfShielded.
func GasShielded(m Mark) bool { return gasShielded(m.Fields["usability"]) }
