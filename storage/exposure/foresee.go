package exposure

import (
	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// foresee fills in when the limits will be reached if the rods stay where they
// are, and when the hold will be complete.
func (w *fold) foresee(j *Judgement) {
	c := &w.both.most
	if j.Verdict == inventory.Hold {
		j.Ready = max(w.both.least.readyAt(w.at, w.law.Hold), c.readyAt(w.at, w.law.Hold))
	}
	j.Warn, j.Due = c.near, c.past
	if j.Warn == 0 {
		j.Warn = w.reaches(c, c.nearOf(&w.law))
	}
	if j.Due == 0 {
		j.Due = w.reaches(c, c.dueOf(&w.law))
	}
}

// reaches returns when the clock will reach one of the limits, zero if the
// present time does not count.
func (w *fold) reaches(c *clock, l limits) measure.Instant {
	switch {
	case w.now.most == Open, w.now.most == Portable && c.reverted:
		return w.at.Add(c.room(l))
	case w.now.most == Portable:
		return w.at.Add(c.credit(l))
	case w.now.most == Packet, w.now.most == Hopper:
		return w.at.Add(c.within(w.now.most, c.room(l), &w.law))
	}
	return 0
}

// days returns the total time in holding, in the fold with more of it, and when
// its limit was or will be reached if the stock stays where it is.
func (w *fold) days() HoldingDays {
	if w.law.Holding == nil {
		return HoldingDays{}
	}
	c, now := &w.both.most, w.now.most
	if w.both.least.holding >= c.holding {
		c, now = &w.both.least, w.now.least
	}
	d := HoldingDays{Total: c.holding, Max: w.law.days.due, Warn: c.daysNear, Due: c.daysPast}
	if now != Kept {
		return d
	}
	if d.Warn == 0 {
		d.Warn = w.at.Add(w.law.days.near - c.holding)
	}
	if d.Due == 0 {
		d.Due = w.at.Add(w.law.days.due - c.holding)
	}
	return d
}
