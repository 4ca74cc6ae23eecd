package exposure

import (
	"fmt"

	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// judgement turns the state at the instant into a verdict.
func (w *fold) judgement() Judgement {
	r, m := &w.law, &w.both.most
	few := r.fewest(m)
	j := Judgement{At: w.at, Ruling: w.facts.Ruling, Bakes: m.times(few), BakesMax: few.Max, BakesBy: few.Row, EveryRod: m.every,
		Heated: m.heated, Spent: r.spent(m), Wet: m.wet, FirstBake: m.firstBake, Owed: m.owed,
		Kind: w.now.most, Pieces: w.trail.pieces(), Runs: w.trail.runs()}
	if !r.clocked {
		j.Verdict, j.Why = w.unclocked(m)
		return j
	}
	j.Least, j.Most, j.Portable, j.Limit = w.both.least.exposed, m.exposed, m.portable, m.dueOf(r).open
	j.Held, j.Hold = m.held, m.pending
	j.Days = w.days()
	j.Longer = w.longer(m)
	j.Boundary = m.atLimit(r) && !m.over(r)
	j.Verdict, j.Why = w.agreed()
	w.foresee(&j)
	return j
}

// agreed is the verdict of both folds, or QA's where they differ.
func (w *fold) agreed() (inventory.Verdict, string) {
	most, why := w.verdict(&w.both.most, w.now.most)
	if w.both.least == w.both.most && w.now.least == w.now.most {
		return most, why
	}
	least, lessWhy := w.verdict(&w.both.least, w.now.least)
	if least == most {
		return most, why
	}
	return inventory.QAHold, fmt.Sprintf(
		"evidence is missing: %s if it was at temperature (%s), %s if it was not (%s)", least, lessWhy, most, why)
}

// settled is the verdict where the clock has no say; empty where it has.
func (c *clock) settled() (inventory.Verdict, string) {
	switch {
	case c.wet:
		return inventory.Discard, "wet"
	case c.discard:
		return inventory.Discard, "discarded by decision"
	case c.qa != "":
		return inventory.QAHold, c.qa
	}
	return "", ""
}

// unclocked is the verdict for stock that no clock runs for.
func (w *fold) unclocked(c *clock) (inventory.Verdict, string) {
	const why = "no exposure clock runs for this stock"
	v, settled := c.settled()
	switch {
	case v != "":
		return v, settled
	case w.stay.Sealed:
		return inventory.Sealed, "closed as it came"
	case w.stay.Slip != "":
		return inventory.Out, why
	}
	return inventory.Ready, why
}

// verdict is what one fold says.
func (w *fold) verdict(c *clock, now Kind) (inventory.Verdict, string) {
	r := &w.law
	v, settled := c.settled()
	switch {
	case v != "":
		return v, settled
	case r.overBaked(c) != nil:
		return inventory.Discard, c.bakedWhy(r.overBaked(c), r)
	case c.baking:
		return inventory.Bake, "in the bake oven: " + w.stage
	case c.firstBake:
		return w.bakeOrDiscard(c, r.firstWhy())
	case c.needBake:
		return w.bakeOrDiscard(c, "waiting for a valid bake")
	case c.over(r) && r.cabinet():
		return w.inCabinet(c, now)
	case c.over(r):
		return w.bakeOrDiscard(c, c.overWhy(r))
	case w.stay.Sealed && c.exposed == 0 && c.portable == 0:
		return inventory.Sealed, "closed as it came"
	case w.stay.Slip != "":
		return inventory.Out, "out " + c.share(r)
	case c.pastHold(r) && (now == Kept || c.owed) && r.owes():
		return w.bakeOrDiscard(c, c.pastHoldWhy(r))
	}
	return w.inStore(c, now)
}

// inStore is the verdict for rods within their limits that are in the crib.
func (w *fold) inStore(c *clock, now Kind) (inventory.Verdict, string) {
	r := &w.law
	if r.Holding != nil && c.holding > measure.Duration(r.Holding.MaxDays)*measure.Day {
		return inventory.QAHold,
			fmt.Sprintf("in holding for %d days, %d allowed", c.holding/measure.Day, r.Holding.MaxDays)
	}
	switch {
	case now == Sealed:
		return inventory.Ready, "packed again, exposed " + c.share(r)
	case now == Bagged:
		return inventory.Ready, "back in its pack, out of it " + c.share(r) + c.left(r)
	case now == Kept && c.atRest():
		return inventory.Ready, "at temperature"
	case now == Kept:
		return inventory.Hold, fmt.Sprintf("held %s of %s", c.pending.Words(), r.Hold.Duration.Words())
	}
	switch {
	case now == Hopper:
		return inventory.Out, "in a hopper, exposed " + c.share(r) + c.left(r)
	case r.Hold == nil: // wire: nothing asks for a temperature
		return inventory.Out, "out of its pack " + c.share(r) + c.left(r)
	case r.cabinet(): // flux: nothing asks for a temperature within the limit
		return inventory.Out, "open, exposed " + c.share(r) + c.left(r)
	}
	return inventory.Out, "not at temperature, exposed " + c.share(r)
}

// inCabinet is the verdict for stock past its limit that a drying cabinet takes.
func (w *fold) inCabinet(c *clock, now Kind) (inventory.Verdict, string) {
	r := &w.law
	if now == Kept {
		return inventory.Hold, fmt.Sprintf("in the cabinet %s of %s", c.pending.Words(), r.Hold.Duration.Words())
	}
	return inventory.Bake, c.overWhy(r) + ": into the cabinet, " + r.Hold.Range() + ", or re-dry it"
}

// share says how much of the limit is used: "3 h of 4 h".
func (c *clock) share(r *law) string { return c.exposed.Words() + " of " + c.dueOf(r).open.Words() }

// left says how much of the limit is left, behind a comma; nothing at the limit.
func (c *clock) left(r *law) string {
	if c.atLimit(r) {
		return ""
	}
	return ", " + c.room(c.dueOf(r)).Words() + " left"
}

// overWhy says which limit is exceeded.
func (c *clock) overWhy(r *law) string {
	limit := c.dueOf(r).open
	if c.exposed <= limit {
		return "open and in the quiver " + (c.exposed + c.portable).Words() + ", limit " + r.Quiver.Total.Words()
	}
	why := "exposed " + c.exposed.Words() + ", limit " + limit.Words()
	if r.longer != nil {
		why += " of column B"
		if c.short != "" {
			why = fmt.Sprintf("exposed %s, limit %s of column A: %s", c.exposed.Words(), limit.Words(), c.short)
		}
	}
	return why
}

// pastHoldWhy says why no hold may begin.
func (c *clock) pastHoldWhy(r *law) string {
	if c.room(r.due) == 0 {
		return "exactly at the limit of " + r.Exposure.Limit.Words() + ": no hold may begin"
	}
	return fmt.Sprintf("exposed %s: column B lets them be used, and a hold begins only below the %s of column A",
		c.exposed.Words(), r.Exposure.Limit.Words())
}

// bakeOrDiscard is the verdict for rods that only a bake can make usable. Where
// the rows that speak of them contradict each other no bake helps, and they may
// be sound all the same: QA decides.
func (w *fold) bakeOrDiscard(c *clock, why string) (inventory.Verdict, string) {
	r := &w.law
	switch {
	case r.Recipe.Never():
		return inventory.Discard, why + "; the rule set has no bake for this stock"
	case r.spent(c) != nil:
		return inventory.Discard, why + "; " + c.bakedWhy(r.spent(c), r)
	case r.Bake == nil:
		_, err := r.Recipe.For(inventory.BakeOrder{})
		return inventory.QAHold, fmt.Sprintf("%s; %v", why, err)
	}
	return inventory.Bake, why
}
