package exposure

import (
	"fmt"

	"ovenward/storage/rules"
)

// times returns the bakes that a limit counts.
func (c *clock) times(l *rules.BakeLimit) int64 {
	if l.FirstCounts {
		return c.bakes
	}
	return c.rebakes
}

// limits are the ruling's; one that was put together without any has its
// policy's.
func (l *law) limits() []rules.BakeLimit {
	if len(l.BakeLimits) > 0 {
		return l.BakeLimits
	}
	return []rules.BakeLimit{{Counted: true, Max: l.Bakes.Max, FirstCounts: l.Bakes.FirstCounts}}
}

// fewest returns the limit that leaves the fewest bakes, the first of equals.
func (l *law) fewest(c *clock) *rules.BakeLimit {
	var few *rules.BakeLimit
	for i, all := 0, l.limits(); i < len(all); i++ {
		if b := &all[i]; b.Counted && (few == nil || b.Max-c.times(b) < few.Max-c.times(few)) {
			few = b
		}
	}
	return few
}

// spent returns the limit by which rods may be baked no more; nil where they
// may. The bake before first use is none that a limit forbids which does not
// count it. Of the time in all a bake needs its soak.
func (l *law) spent(c *clock) *rules.BakeLimit {
	for i, all := 0, l.limits(); i < len(all); i++ {
		b := &all[i]
		switch {
		case b.Counted && c.times(b) >= b.Max && (!c.firstBake || b.FirstCounts):
			return b
		case b.Total > 0 && l.Bake != nil && c.heated+l.Bake.Soak > b.Total:
			return b
		}
	}
	return nil
}

// overBaked returns the limit that rods are over; nil where there is none.
func (l *law) overBaked(c *clock) *rules.BakeLimit {
	for i, all := 0, l.limits(); i < len(all); i++ {
		b := &all[i]
		if (b.Counted && c.times(b) > b.Max) || (b.Total > 0 && c.heated > b.Total) {
			return b
		}
	}
	return nil
}

// bakedWhy says how a limit stands, and whose it is where several speak.
func (c *clock) bakedWhy(b *rules.BakeLimit, r *law) string {
	whose := ""
	if len(r.limits()) > 1 {
		whose = " by " + b.Row
	}
	switch n := c.times(b); {
	case b.Counted && n > b.Max:
		return fmt.Sprintf("baked %d times, %d allowed%s", n, b.Max, whose)
	case b.Counted && n == b.Max:
		return fmt.Sprintf("baked %d of %d times%s", n, b.Max, whose)
	case c.heated > b.Total:
		return fmt.Sprintf("baked %s in all, %s allowed%s", c.heated.Words(), b.Total.Words(), whose)
	}
	return fmt.Sprintf("baked %s in all: %s more would be over the %s allowed%s",
		c.heated.Words(), r.Bake.Soak.Words(), b.Total.Words(), whose)
}
