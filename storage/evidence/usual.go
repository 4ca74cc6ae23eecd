package evidence

import (
	"slices"

	"ovenward/inventory/measure"
)

// Usual returns the temperature that a place kept from one instant to another: the
// middle of its readings, each by the least that it may mean, so that a door
// opened now and then does not count. It is false where there is no reading.
func (p *Place) Usual(from, to measure.Instant) (measure.Temperature, bool) {
	readings := p.Readings(from, to)
	if len(readings) == 0 {
		return 0, false
	}
	temps := make([]measure.Temperature, len(readings))
	for i, r := range readings {
		temps[i] = r.Temp
	}
	slices.Sort(temps)
	return temps[(len(temps)-1)/2], true
}

// Shows judges one temperature by itself.
func (b Band) Shows(t measure.Temperature) Finding { return b.finding(t, t) }
