package app

import (
	"cmp"
	"slices"

	"ovenward/inventory/measure"
)

// sortByUrgency puts the slips first whose rods must be back soonest; one
// without a time in sight comes last.
func sortByUrgency(list []SlipLook) {
	const never = measure.Instant(1<<63 - 1)
	due := func(s SlipLook) measure.Instant {
		if s.Judgement.Due == 0 {
			return never
		}
		return s.Judgement.Due
	}
	slices.SortStableFunc(list, func(a, b SlipLook) int {
		return cmp.Or(cmp.Compare(due(a), due(b)), cmp.Compare(a.Slip.At, b.Slip.At))
	})
}
