package exposure

import (
	"ovenward/inventory/measure"
	"ovenward/storage/rules"
)

// kept is time proven at temperature. It changes nothing for rods at rest; it
// is a hold for rods that may begin one; otherwise the policy decides whether
// it counts.
func (c *clock) kept(from, to measure.Instant, r *law) {
	c.stored(from, to.Sub(from), r)
	switch {
	case c.atRest():
	case c.holdable(r):
		c.hold(from, to.Sub(from), r.Hold)
	default:
		c.breakHold(from, r)
		if r.Clock.Policy == rules.Running {
			c.accrue(from, to.Sub(from), r)
		}
	}
}

// stored adds to the days in holding.
func (c *clock) stored(from measure.Instant, d measure.Duration, r *law) {
	if r.Holding != nil {
		reach(&c.daysNear, from, d, r.days.near-c.holding)
		reach(&c.daysPast, from, d, r.days.due-c.holding)
	}
	c.holding += d
}

// atRest reports whether the clock needs no hold: it has not started since it
// stood at zero and none is owed, or the rods were held.
func (c *clock) atRest() bool {
	return c.held != 0 || (c.exposed == 0 && c.portable == 0 && c.stake == 0 && !c.owed)
}

// holdable reports whether a hold may begin: only below the limit, or at it
// where the rule set says so. A cabinet takes what is past it too.
func (c *clock) holdable(r *law) bool {
	switch {
	case c.firstBake || c.needBake || c.wet:
		return false
	case r.Hold.Cabinet:
		return true
	}
	return !c.pastHold(r)
}

// hold adds to the hold in progress and completes it.
func (c *clock) hold(from measure.Instant, d measure.Duration, row *rules.HoldRow) {
	if c.pending == 0 {
		c.holdFrom = from
	}
	c.pending += d
	if c.exposed > 0 || c.portable > 0 {
		c.stake += d
	}
	if c.pending < row.Duration {
		return
	}
	c.held = c.holdFrom.Add(row.Duration)
	c.owed, c.pending, c.stake = false, 0, 0
	if row.Resets {
		c.exposed, c.advance, c.portable, c.reverted = 0, [2]uint64{}, 0, false
		c.near, c.past = 0, 0
		c.short, c.shortAt = "", 0
	}
}

// breakHold ends a hold that is not complete. Under a running clock all its
// minutes count, at once; a clock that never started does not start with it.
func (c *clock) breakHold(at measure.Instant, r *law) {
	minutes := c.stake
	c.pending, c.stake = 0, 0
	if minutes == 0 || r.Clock.Policy != rules.Running {
		return
	}
	c.exposed += minutes
	reach(&c.near, at, 0, c.room(c.nearOf(r)))
	reach(&c.past, at, 0, c.room(c.dueOf(r)))
}

// comeBack begins the hold that every return from a slip owes, at the return.
// Minutes of a hold begun in a hot quiver stay at stake.
func (c *clock) comeBack(at measure.Instant) {
	c.owed, c.held = true, 0
	c.pending, c.holdFrom = 0, at
}

// readyAt returns when the hold will be complete.
func (c *clock) readyAt(at measure.Instant, row *rules.HoldRow) measure.Instant {
	if c.pending == 0 {
		return at.Add(row.Duration)
	}
	return c.holdFrom.Add(row.Duration)
}
