package exposure

import "ovenward/inventory/measure"

// worst joins the states of two bundles: the larger exposure, the larger count
// of bakes and the smaller of those that every rod was in, the hold with more to
// go, and everything that either owes.
func worst(a, b clock) clock {
	c := clock{
		exposed: max(a.exposed, b.exposed),
		owed:    a.owed || b.owed, reverted: a.reverted || b.reverted,
		bakes: max(a.bakes, b.bakes), every: min(a.every, b.every), rebakes: max(a.rebakes, b.rebakes),
		heated: max(a.heated, b.heated), firstBake: a.firstBake || b.firstBake,
		needBake: a.needBake || b.needBake, baking: a.baking || b.baking,
		wet: a.wet || b.wet, discard: a.discard || b.discard, qa: a.qa,
		holding: max(a.holding, b.holding),
		near:    earlier(a.near, b.near), past: earlier(a.past, b.past),
		daysNear: earlier(a.daysNear, b.daysNear), daysPast: earlier(a.daysPast, b.daysPast),
	}
	if c.short, c.shortAt = a.short, a.shortAt; c.short == "" {
		c.short, c.shortAt = b.short, b.shortAt
	}
	if c.qa == "" {
		c.qa = b.qa
	}
	c.portable = max(a.exposed+a.portable, b.exposed+b.portable) - c.exposed
	c.stake = max(a.exposed+a.stake, b.exposed+b.stake) - c.exposed
	c.holdFrom, c.pending, c.held = toGo(a, b)
	return c
}

// toGo returns the hold of two that is further from complete. Rods at rest ask
// for none.
func toGo(a, b clock) (from measure.Instant, pending measure.Duration, held measure.Instant) {
	switch {
	case a.atRest() && b.atRest():
		return 0, 0, max(a.held, b.held)
	case a.atRest():
		return b.holdFrom, b.pending, 0
	case b.atRest():
		return a.holdFrom, a.pending, 0
	}
	return max(a.holdFrom, b.holdFrom), min(a.pending, b.pending), 0
}

// earlier returns the earlier of two instants of which zero is never.
func earlier(a, b measure.Instant) measure.Instant {
	if a == 0 || (b != 0 && b < a) {
		return b
	}
	return a
}
