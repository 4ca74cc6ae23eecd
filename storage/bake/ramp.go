package bake

import (
	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
)

// steep returns whether a sensor rose faster than the row allows. The rise
// between two readings is the mean over the time between them, so it was as fast
// as that at some instant at least.
func (j judge) steep() faults {
	limit := j.Row.RampMax
	if !limit.Given() {
		return nil
	}
	var fastest measure.Temperature
	for _, s := range j.Sensors {
		fastest = max(fastest, j.fastest(j.within(s)))
	}
	if fastest <= limit.PerHour {
		return nil
	}
	return faults{}.add(Doubtful, in(Ramp), "ramp %s, over %s", j.rate(fastest), j.rate(limit.PerHour))
}

// fastest returns the steepest rise in an hour between a reading and the first
// one after it that is far enough away to measure by, rounded up.
func (j judge) fastest(readings []evidence.Reading) (most measure.Temperature) {
	k := 0
	for i, from := range readings {
		for k = max(k, i+1); k < len(readings) && readings[k].At.Sub(from.At) < j.Row.RampOver; k++ {
		}
		if k == len(readings) {
			return most
		}
		rise, over := readings[k].Temp-from.Temp, measure.Temperature(readings[k].At.Sub(from.At))
		most = max(most, (rise*measure.Temperature(measure.Hour)+over-1)/over)
	}
	return most
}

// rate prints a rise in the unit system that the rule set decides in.
func (r Run) rate(perHour measure.Temperature) string {
	return r.difference(perHour) + "/h"
}
