package evidence

import (
	"cmp"
	"slices"

	"ovenward/inventory/measure"
)

// era is a run of a sensor's readings of which one and the same is known: how
// far the sensor shows above the true temperature at most and at least.
type era struct {
	first       int // index of its first reading
	over, under measure.Temperature
	unfit       bool // past the date of the next check: its readings prove nothing
}

// eras divides readings by what checks of their sensor found. Between a check
// and one that found another error than the first had left, nobody knows when
// the sensor drifted: its error may have been anything from the one to the
// other.
func (t Track) eras(checks []Calibration) []era {
	checks = slices.Clone(checks)
	slices.SortStableFunc(checks, func(a, b Calibration) int { return cmp.Compare(a.At, b.At) })
	list := []era{checks[0].after(0)}
	begin := func(at measure.Instant, e era) {
		e.first = t.index(at)
		if last := &list[len(list)-1]; last.first == e.first {
			*last = e
			return
		}
		list = append(list, e)
	}
	for i, c := range checks {
		e := era{over: c.Error, under: c.Error}
		next := measure.Instant(0)
		if i+1 < len(checks) {
			e, next = checks[i+1].after(c.Error), checks[i+1].At
		}
		begin(c.At, e)
		if due := max(c.Due, c.At); c.Due != 0 && (next == 0 || due < next) {
			e.unfit = true
			begin(due, e)
		}
	}
	return list
}

// after is the time before a check, since another one that left a known error.
func (c Calibration) after(left measure.Temperature) era {
	if !c.HasFound {
		return era{over: left, under: left}
	}
	return era{over: max(left, c.Found), under: min(left, c.Found)}
}
