package exposure

import (
	"fmt"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/rules"
)

// judgement turns the state at the instant into a verdict.
func (w *fold) judgement() Judgement {
	r, m := w.facts.Ruling, w.both.most
	j := Judgement{At: w.at, Ruling: r, Bakes: m.bakes, BakesMax: r.Bakes.Max, Kind: w.kind, Pieces: w.pieces}
	if !r.Clocked() {
		j.Verdict, j.Why = w.unclocked()
		return j
	}
	j.Least, j.Most, j.Portable, j.Limit = w.both.least.shown(), m.shown(), m.portable, r.Limit()
	j.Held = m.held
	j.Boundary = j.Most == j.Limit
	low, lowWhy := w.verdict(&w.both.least)
	high, highWhy := w.verdict(&w.both.most)
	j.Verdict, j.Why = high, highWhy
	if low != high {
		j.Verdict = inventory.QAHold
		j.Why = fmt.Sprintf("evidence is missing: %s if it was at temperature (%s), %s if it was not (%s)",
			low, lowWhy, high, highWhy)
	}
	w.foresee(&j)
	return j
}

// unclocked is the verdict for stock that no clock runs for.
func (w *fold) unclocked() (inventory.Verdict, string) {
	c := w.both.most
	switch {
	case c.wet:
		return inventory.Discard, "wet"
	case c.discard:
		return inventory.Discard, "discarded by decision"
	case c.qa != "":
		return inventory.QAHold, c.qa
	case w.lastOK && w.last.Sealed:
		return inventory.Sealed, "closed as it came"
	case w.lastOK && w.last.Slip != "":
		return inventory.Out, "no exposure clock runs for this stock"
	}
	return inventory.Ready, "no exposure clock runs for this stock"
}

// verdict is what one fold says.
func (w *fold) verdict(c *clock) (inventory.Verdict, string) {
	r := w.facts.Ruling
	switch {
	case c.wet:
		return inventory.Discard, "wet"
	case c.discard:
		return inventory.Discard, "discarded by decision"
	case c.qa != "":
		return inventory.QAHold, c.qa
	case c.bakes > r.Bakes.Max:
		return inventory.Discard, fmt.Sprintf("baked %d times, %d allowed", c.bakes, r.Bakes.Max)
	case c.baking:
		return inventory.Bake, "in the bake oven"
	case w.lastOK && w.last.Sealed && !c.firstBake:
		return inventory.Sealed, "closed as it came"
	case c.firstBake:
		return w.bakeOrDiscard(c, "came without a tight seal: bake before first use", r.Bakes.FirstCounts)
	case c.needBake:
		return w.bakeOrDiscard(c, "waiting for a valid bake", true)
	case c.over(r):
		return w.bakeOrDiscard(c, overWhy(c, r), true)
	case w.away():
		return inventory.Out, fmt.Sprintf("out %s of %s", c.exposed.Words(), r.Limit().Words())
	case c.atLimit(r) && r.Clock.ReturnAtLimit == rules.BakeAtLimit:
		return w.bakeOrDiscard(c, fmt.Sprintf("back exactly at the limit of %s", r.Limit().Words()), true)
	}
	return w.inStore(c)
}

// inStore is the verdict for rods within their limits that are in the crib.
func (w *fold) inStore(c *clock) (inventory.Verdict, string) {
	r := w.facts.Ruling
	if r.Holding != nil && c.holding > measure.Duration(r.Holding.MaxDays)*measure.Day {
		return inventory.QAHold, fmt.Sprintf("in holding for %d days, %d allowed", c.holding/measure.Day, r.Holding.MaxDays)
	}
	counting := c.exposed > 0 || c.portable > 0 || c.owed
	if w.lastOK && w.last.Place.Kind == inventory.HoldingOven && !w.coldFor(c) {
		switch {
		case !counting || (c.held != 0 && c.pending == 0):
			return inventory.Ready, "at temperature"
		default:
			return inventory.Hold, fmt.Sprintf("held %s of %s", c.pending.Words(), r.Hold.Duration.Words())
		}
	}
	return inventory.Out, fmt.Sprintf("not at temperature, exposed %s of %s", c.exposed.Words(), r.Limit().Words())
}

// away reports whether the rods are out on a slip.
func (w *fold) away() bool { return w.lastOK && w.last.Slip != "" }

// coldFor reports whether the present time is open time in this fold.
func (w *fold) coldFor(c *clock) bool {
	return w.kind == Open && (c == &w.both.most || !w.unproven)
}

func overWhy(c *clock, r rules.Ruling) string {
	if c.exposed <= r.Limit() {
		return fmt.Sprintf("open and in the quiver %s, limit %s", (c.exposed + c.portable).Words(), r.Quiver.Total.Words())
	}
	return fmt.Sprintf("exposed %s, limit %s", c.exposed.Words(), r.Limit().Words())
}

// bakeOrDiscard is the verdict for rods that only a bake can make usable.
func (w *fold) bakeOrDiscard(c *clock, why string, counts bool) (inventory.Verdict, string) {
	r := w.facts.Ruling
	switch {
	case r.Bake == nil:
		return inventory.Discard, why + "; the rule set has no bake for this stock"
	case counts && c.bakes >= r.Bakes.Max:
		return inventory.Discard, fmt.Sprintf("%s; baked %d of %d times", why, c.bakes, r.Bakes.Max)
	}
	return inventory.Bake, why
}

// foresee fills in when the limits will be reached if the rods stay where they
// are, and when the hold will be complete.
func (w *fold) foresee(j *Judgement) {
	r, c := w.facts.Ruling, &w.both.most
	j.Warn, j.Due = c.near, c.past
	if r.Hold != nil {
		j.Hold = c.pending
		if j.Verdict == inventory.Hold {
			j.Ready = max(w.both.least.readyAt(w.at, r), c.readyAt(w.at, r))
		}
	}
	var used, limit, num, den measure.Duration = c.exposed, r.Limit(), 1, 1
	switch w.kind {
	case Open:
	case Packet:
		num, den = r.Limit(), r.Packet.Limit
	case Portable:
		used, limit = c.exposed+c.portable, r.Quiver.Total
	default:
		return
	}
	ahead := func(level measure.Duration) measure.Instant { return w.at.Add(ratio(level-used, den, num)) }
	if j.Warn == 0 && warnAt(limit, r) > used {
		j.Warn = ahead(warnAt(limit, r))
	}
	if j.Due == 0 && limit > used {
		j.Due = ahead(limit)
	}
}

func (c *clock) readyAt(at measure.Instant, r rules.Ruling) measure.Instant {
	from := c.holdFrom
	if c.pending == 0 {
		from = at
	}
	return from.Add(r.Hold.Duration)
}
