package evidence

import "ovenward/inventory/measure"

// ColdUntil returns until when what was in a place from one instant to another
// was colder than a temperature: until the first reading that is not below it
// again, or the end. A reading speaks until the next one. It is zero where none
// shows the cold in that time.
func ColdUntil(readings []Reading, below measure.Temperature, from, to measure.Instant) measure.Instant {
	var until measure.Instant
	cold := false
	for _, r := range readings {
		if r.At > to {
			break
		}
		if cold && r.At > from {
			until = r.At
		}
		cold = r.Temp < below
	}
	if cold {
		return to
	}
	return until
}
