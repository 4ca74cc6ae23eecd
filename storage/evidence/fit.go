package evidence

import (
	"slices"

	"ovenward/inventory/measure"
)

// Fit is Readings without those of a sensor that was past its calibration date,
// which are kept and prove nothing. Of those, low has the least and high the most
// that each may mean; high is nil where both are the same. The last result is how
// many were left out.
func (p *Place) Fit(from, to measure.Instant) (low, high []Reading, unfit int) {
	if p == nil {
		return nil, nil, 0
	}
	doubtful := false
	for _, t := range p.tracks {
		first, end := t.window(from, to)
		for i := first; i < end; i++ {
			e := t.era(i)
			if e.unfit {
				unfit++
				continue
			}
			r := t.readings[i]
			low = append(low, Reading{At: r.At, Temp: r.Temp - e.over})
			high = append(high, Reading{At: r.At, Temp: r.Temp - e.under})
			doubtful = doubtful || e.over != e.under
		}
	}
	slices.SortStableFunc(low, byInstant)
	slices.SortStableFunc(high, byInstant)
	if !doubtful {
		high = nil
	}
	return low, high, unfit
}
