package exposure

import (
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/rules"
)

// clock is the state of one fold: how long the rods have been exposed since
// the clock last stood at zero, and what they owe.
type clock struct {
	exposed  measure.Duration
	advance  [2]uint64        // packet and hopper time that rounding up has counted already, in parts of a microsecond
	portable measure.Duration // under a quiver's own credit

	holdFrom measure.Instant
	pending  measure.Duration // of the hold in progress
	stake    measure.Duration // what the clock gains if that hold breaks
	held     measure.Instant  // when the last hold was completed
	owed     bool             // came back from a slip and has not been held since
	reverted bool             // open time took the quiver's credit away

	bakes     int64
	every     int64            // of them, those that each of the rods was in
	rebakes   int64            // those without the bake before first use of stock that came without a tight seal
	heated    measure.Duration // at set point in all runs, valid or not
	firstBake bool             // must be baked before first use
	needBake  bool
	baking    bool

	wet, discard bool
	qa           string // why QA decides whatever the clock says

	holding  measure.Duration // total time in holding
	daysNear measure.Instant  // when the warning share of the days in holding was reached
	daysPast measure.Instant  // when all of them were

	short   string          // why the longer limit of column B is lost; empty while it is not
	shortAt measure.Instant // since when

	near measure.Instant // when the warning share was reached
	past measure.Instant // when the limit was reached
}

// happens applies something that happened to the rods.
func (c *clock) happens(e *inventory.Event) {
	switch e.Kind {
	case inventory.GotWet:
		c.wet = true
	case inventory.Decided:
		c.decided(e.Disposition)
	case inventory.WasCovered: // a cover stops no clock
	}
}

// decided applies QA's disposition. A release sets the clock to zero and
// settles what was owed; it makes no wet rod dry.
func (c *clock) decided(disposition string) {
	switch disposition {
	case "release":
		*c = clock{bakes: c.bakes, every: c.every, rebakes: c.rebakes, heated: c.heated, wet: c.wet}
	case "bake":
		c.qa, c.needBake = "", true
	case "discard":
		c.discard = true
	}
}

// pass lets time of a kind go by.
func (c *clock) pass(k Kind, from, to measure.Instant, r *law) {
	switch k {
	case Sealed:
	case Bagged:
		c.breakHold(from, r)
	case Kept:
		c.kept(from, to, r)
	case Portable:
		c.breakHold(from, r)
		c.ported(from, to, r)
	case Packet, Hopper:
		c.breakHold(from, r)
		c.dip(from, to, r)
		c.shared(k, from, to.Sub(from), r)
	default:
		c.breakHold(from, r)
		c.open(from, to, r)
	}
}

// open adds time in the open air, or in a place that is as good as it.
func (c *clock) open(from, to measure.Instant, r *law) {
	c.dip(from, to, r)
	c.accrue(from, to.Sub(from), r)
}

// accrue adds time that counts as it passes.
func (c *clock) accrue(from measure.Instant, d measure.Duration, r *law) {
	c.held = 0
	reach(&c.near, from, d, c.room(c.nearOf(r)))
	reach(&c.past, from, d, c.room(c.dueOf(r)))
	c.exposed += d
}

// ported adds time under a quiver's own credit.
func (c *clock) ported(from, to measure.Instant, r *law) {
	if c.reverted || r.due.total == 0 {
		c.accrue(from, to.Sub(from), r)
		return
	}
	c.held = 0
	d := to.Sub(from)
	reach(&c.near, from, d, c.credit(c.nearOf(r)))
	reach(&c.past, from, d, c.credit(c.dueOf(r)))
	c.portable += d
}

// dip takes a quiver's credit away where the row gives it only to rods that
// were in a hot quiver throughout.
func (c *clock) dip(from, to measure.Instant, r *law) {
	if r.Quiver != nil && r.Quiver.OnDip == rules.DipReverts && to > from {
		c.exposed, c.portable, c.reverted = c.exposed+c.portable, 0, true
	}
}

// room returns how much open time is left to the limits. It is negative beyond.
func (c *clock) room(l limits) measure.Duration {
	left := l.open - c.exposed
	if c.portable > 0 {
		left = min(left, c.credit(l))
	}
	return left
}

// credit is room for portable time.
func (c *clock) credit(l limits) measure.Duration { return l.total - c.exposed - c.portable }

// over reports whether a limit is exceeded. At the limit use is allowed.
func (c *clock) over(r *law) bool { return c.room(c.dueOf(r)) < 0 }

// atLimit reports whether a limit is reached.
func (c *clock) atLimit(r *law) bool { return c.room(c.dueOf(r)) <= 0 }

// pastHold reports whether no hold may begin any more. The longer limit of
// column B is one of use: a hold begins below the limit of the exposure row, or at
// it where the rule set says so.
func (c *clock) pastHold(r *law) bool {
	left := c.room(r.due)
	return left < 0 || (left == 0 && r.Clock.ReturnAtLimit != rules.HoldAtLimit)
}

// dueOf returns the limits that are in force for the clock.
func (c *clock) dueOf(r *law) limits {
	if r.longer != nil && c.short == "" {
		return limits{open: r.longer.due, total: r.due.total}
	}
	return r.due
}

// nearOf returns the warning shares of the limits in force.
func (c *clock) nearOf(r *law) limits {
	if r.longer != nil && c.short == "" {
		return limits{open: r.longer.near, total: r.near.total}
	}
	return r.near
}

// reach notes the instant at which a limit is reached that is so much time away,
// if it is reached within d.
func reach(mark *measure.Instant, from measure.Instant, d, away measure.Duration) {
	if *mark == 0 && away <= d {
		*mark = from.Add(max(away, 0))
	}
}
