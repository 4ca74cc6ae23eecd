package exposure

import (
	"math/bits"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/bake"
	"ovenward/storage/rules"
)

// clock is the state of one fold: how long the rods have been exposed since
// the clock last stood at zero, and what they owe.
type clock struct {
	exposed  measure.Duration
	portable measure.Duration // under a quiver's own credit

	holdFrom measure.Instant
	pending  measure.Duration // of the hold in progress; not counted unless it breaks
	held     measure.Instant  // when the last hold was completed
	owed     bool             // came back from a slip and has not been held since
	reverted bool             // a dip took the quiver's credit away

	bakes     int64
	firstBake bool // must be baked before first use
	needBake  bool
	baking    bool

	wet, discard bool
	qa           string // why QA decides whatever the clock says

	holding measure.Duration // total time in holding
	near    measure.Instant  // when the warning share was reached
	past    measure.Instant  // when the limit was reached
}

// worst joins the states of two bundles: the larger exposure, the larger count
// of bakes, and everything that either owes.
func worst(a, b clock) clock {
	c := clock{
		exposed: max(a.exposed+a.broken(), b.exposed+b.broken()), portable: max(a.portable, b.portable),
		owed: a.owed || b.owed, reverted: a.reverted || b.reverted,
		bakes: max(a.bakes, b.bakes), firstBake: a.firstBake || b.firstBake,
		needBake: a.needBake || b.needBake, baking: a.baking || b.baking,
		wet: a.wet || b.wet, discard: a.discard || b.discard, qa: a.qa,
		holding: max(a.holding, b.holding),
		near:    earlier(a.near, b.near), past: earlier(a.past, b.past),
	}
	if c.qa == "" {
		c.qa = b.qa
	}
	return c
}

func earlier(a, b measure.Instant) measure.Instant {
	if a == 0 || (b != 0 && b < a) {
		return b
	}
	return a
}

// begin applies what the start of a stay means.
func (p *pair) begin(s inventory.Stay) {
	for _, c := range []*clock{&p.least, &p.most} {
		if s.Returned {
			c.owed, c.held = true, 0
			if c.exposed == 0 && c.portable == 0 {
				c.pending, c.holdFrom = 0, s.From // the hold is counted from the return
			}
		}
	}
}

func (c *clock) event(e inventory.Event) {
	switch e.Kind {
	case inventory.GotWet:
		c.wet = true
	case inventory.Decided:
		c.decided(e.Disposition)
	}
}

func (c *clock) decided(disposition string) {
	switch disposition {
	case "release":
		*c = clock{bakes: c.bakes, wet: c.wet}
	case "bake":
		c.qa, c.needBake = "", true
	case "discard":
		c.discard = true
	}
}

// pass lets time of a kind go by.
func (c *clock) pass(k Kind, from, to measure.Instant, r rules.Ruling, excursion bool) {
	if k == Sealed || !r.Clocked() {
		return
	}
	if excursion && r.Oven.Excursion == rules.ExcursionQAHold {
		c.qa = "the oven was out of range with these rods in it"
	}
	switch k {
	case Kept:
		c.kept(from, to, r)
	case Portable:
		c.breakHold(from, r)
		c.ported(from, to, r)
	case Packet:
		c.breakHold(from, r)
		c.accrue(from, to, r, r.Limit(), r.Packet.Limit)
	default:
		c.breakHold(from, r)
		c.dip(r)
		c.accrue(from, to, r, 1, 1)
	}
}

// kept is time proven at temperature. It changes nothing for rods whose clock
// has not started; it is a hold for rods that may begin one; otherwise the
// policy decides whether it counts.
func (c *clock) kept(from, to measure.Instant, r rules.Ruling) {
	d := to.Sub(from)
	c.holding += d
	idle := c.exposed == 0 && c.portable == 0 && !c.owed
	switch {
	case (idle || c.held != 0) && !c.firstBake && !c.needBake:
		return
	case c.holdable(r) && r.Hold != nil:
		c.hold(from, d, r.Hold)
	case r.Clock.Policy == rules.Running:
		c.accrue(from, to, r, 1, 1)
	}
}

// hold adds to the hold in progress and completes it.
func (c *clock) hold(from measure.Instant, d measure.Duration, row *rules.HoldRow) {
	if c.pending == 0 {
		c.holdFrom = from
	}
	c.pending += d
	if c.pending < row.Duration {
		return
	}
	c.held = c.holdFrom.Add(row.Duration)
	c.owed, c.pending = false, 0
	if row.Resets {
		c.exposed, c.portable, c.reverted = 0, 0, false
		c.near, c.past = 0, 0
	}
}

// holdable reports whether a hold may begin: only below the limit, or at it
// where the rule set says so.
func (c *clock) holdable(r rules.Ruling) bool {
	if c.firstBake || c.needBake || c.wet {
		return false
	}
	return !c.over(r) && (!c.atLimit(r) || r.Clock.ReturnAtLimit == rules.HoldAtLimit)
}

// over reports whether a limit is exceeded, atLimit whether it is reached.
func (c *clock) over(r rules.Ruling) bool {
	return c.exposed > r.Limit() || (c.portable > 0 && c.exposed+c.portable > r.Quiver.Total)
}

func (c *clock) atLimit(r rules.Ruling) bool {
	return c.exposed >= r.Limit() || (c.portable > 0 && c.exposed+c.portable >= r.Quiver.Total)
}

// broken is what a hold that breaks now would count for. A clock that never
// started does not start with it.
func (c *clock) broken() measure.Duration {
	if c.exposed == 0 && c.portable == 0 {
		return 0
	}
	return c.pending
}

// breakHold ends a hold that is not complete. Under a running clock all its
// minutes count, at once.
func (c *clock) breakHold(at measure.Instant, r rules.Ruling) {
	if c.pending == 0 {
		return
	}
	minutes := c.broken()
	c.pending = 0
	if r.Clock.Policy == rules.Running {
		c.exposed += minutes
		c.reached(at, r)
	}
}

// reached notes limits that a jump of the clock passed.
func (c *clock) reached(at measure.Instant, r rules.Ruling) {
	if c.near == 0 && c.exposed >= r.Warn() {
		c.near = at
	}
	if c.past == 0 && c.exposed >= r.Limit() {
		c.past = at
	}
}

// accrue adds open time at a rate of num minutes of exposure in den.
func (c *clock) accrue(from, to measure.Instant, r rules.Ruling, num, den measure.Duration) {
	c.held = 0
	before := c.exposed
	c.exposed += ratio(to.Sub(from), num, den)
	mark := func(p *measure.Instant, level measure.Duration) {
		if *p == 0 && c.exposed >= level {
			*p = from.Add(max(0, ratio(level-before, den, num)))
		}
	}
	mark(&c.near, r.Warn())
	mark(&c.past, r.Limit())
	if c.portable > 0 {
		mark(&c.past, r.Quiver.Total-c.portable)
	}
}

// ported adds time under a quiver's own credit.
func (c *clock) ported(from, to measure.Instant, r rules.Ruling) {
	if c.reverted || r.Quiver == nil || r.Quiver.Total == 0 {
		c.accrue(from, to, r, 1, 1)
		return
	}
	c.held = 0
	before := c.exposed + c.portable
	c.portable += to.Sub(from)
	mark := func(p *measure.Instant, level measure.Duration) {
		if *p == 0 && c.exposed+c.portable >= level {
			*p = from.Add(max(0, level-before))
		}
	}
	mark(&c.near, warnAt(r.Quiver.Total, r))
	mark(&c.past, r.Quiver.Total)
}

func warnAt(limit measure.Duration, r rules.Ruling) measure.Duration {
	return limit / 100 * measure.Duration(r.Clock.WarnPercent)
}

// dip takes a quiver's credit away where the row says that rods which were not
// kept hot throughout fall back to the open limit.
func (c *clock) dip(r rules.Ruling) {
	if r.Quiver != nil && r.Quiver.OnDip == "revert" && c.portable > 0 {
		c.exposed, c.portable, c.reverted = c.exposed+c.portable, 0, true
	}
}

// baked applies the outcome of a run in a bake oven.
func (c *clock) baked(o bake.Outcome, r rules.Ruling) {
	c.baking = o.Result == bake.Running
	switch o.Result {
	case bake.Valid:
		counts := int64(1)
		if c.firstBake && !r.Bakes.FirstCounts {
			counts = 0
		}
		*c = clock{bakes: c.bakes + counts, wet: c.wet, discard: c.discard, qa: c.qa}
	case bake.Short:
		c.needBake = true
	case bake.Doubtful:
		c.qa = "bake: " + o.Why
	}
}

// shown is the exposure to show: the hold in progress is not part of it.
func (c *clock) shown() measure.Duration { return c.exposed }

// ratio returns d*num/den, cut to whole microseconds, without overflow.
func ratio(d, num, den measure.Duration) measure.Duration {
	if d <= 0 || num == den {
		return d
	}
	hi, lo := bits.Mul64(uint64(d), uint64(num))
	q, _ := bits.Div64(hi%uint64(den), lo, uint64(den))
	return measure.Duration(q)
}
