package evidence

import (
	"slices"

	"ovenward/inventory/measure"
)

// Fit is Readings without those of a sensor that was past its calibration date,
// which are kept and prove nothing. The second result is how many were left out.
func (p *Place) Fit(from, to measure.Instant) (fit []Reading, unfit int) {
	if p == nil {
		return nil, 0
	}
	for _, t := range p.tracks {
		for i := t.index(from); i < t.index(to+1); i++ {
			if t.isUnfit(i) {
				unfit++
				continue
			}
			fit = append(fit, t.readings[i])
		}
	}
	slices.SortStableFunc(fit, byInstant)
	return fit, unfit
}
