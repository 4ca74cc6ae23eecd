package air

import "fmt"

// Above returns in which bound air is above other air that a covering was
// tested in, in words with both values; empty where it is above it in neither.
// Both count: cool air may be humid and hold little, hot air dry and hold much.
func (a Air) Above(tested Air) string {
	humid, wet := a.RH > tested.RH, a.Moisture() > tested.Moisture()
	humidity := fmt.Sprintf("humidity %s, tested %s", a.RH, tested.RH)
	moisture := fmt.Sprintf("air moisture %s, tested %s", grams(a, tested), grams(tested, a))
	switch {
	case humid && wet:
		return humidity + ", and " + moisture
	case humid:
		return humidity
	case wet:
		return moisture
	}
	return ""
}

// grams prints the moisture of air with as many decimals as tell it from that
// of the other.
func grams(a, o Air) string {
	for places := 1; ; places++ {
		one, other := fmt.Sprintf("%.*f", places, a.Moisture()), fmt.Sprintf("%.*f", places, o.Moisture())
		if one != other || places == 4 {
			return one + " g/kg"
		}
	}
}
