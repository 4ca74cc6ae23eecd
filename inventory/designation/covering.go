package designation

import "slices"

// numberedFamily returns the family of a two-digit covering of A5.1, A5.5 and ISO 2560-B
// (AWS A5.1 classifications as tabulated in UFC 3-320-01A table C-2; 03, 40 and 45 from
// ISO 2560-B, 40 and 45 from memory). The digits 14 and 24 follow E70 but are rutile.
func numberedFamily(covering string) Family {
	switch covering {
	case "10", "11":
		return Cellulosic
	case "03", "12", "13", "14", "24":
		return Rutile
	case "15", "16", "18", "28", "45", "48":
		return LowHydrogen
	case "19", "20", "22", "27":
		return IronOxide
	case "40":
		return MakerStated
	}
	return ""
}

// lowHydrogenCoverings names the coverings on which H and R may stand, for messages.
const lowHydrogenCoverings = "low-hydrogen coverings (15, 16, 18, 28, 48)"

// ksi returns the class strength in ksi of a printed US or metric strength of A5.1 or A5.5.
func ksi(strength int) int {
	metric := []int{43, 49, 55, 62, 69, 76, 83}
	if i := slices.Index(metric, strength); i >= 0 {
		return 60 + 10*i
	}
	return strength
}

// checkDesignators refuses hydrogen and moisture marks on coverings that are not
// low-hydrogen.
func checkDesignators(m Mark) string {
	if (m.Hydrogen != 0 || m.R) && !m.LowHydrogen() {
		return "H and R stand only on " + lowHydrogenCoverings + ", and covering " + m.Covering +
			" is " + string(m.Family) + "; check the label"
	}
	return ""
}
