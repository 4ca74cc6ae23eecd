package bake

import (
	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
	"ovenward/storage/rules"
)

// count is a way to count a soak: from the load by its own sensors, or from the
// oven with the load's lag.
type count struct {
	load bool
	lag  measure.Duration
}

// count returns how the recipe wants the soak counted. A sensor in the load
// tells when the load is hot, better than any lag.
func (j judge) count() count {
	switch {
	case j.Row.ClockFrom == rules.FromOven:
		return count{}
	case j.load:
		return count{load: true}
	}
	return count{lag: j.Lag.Length}
}

// blind reports that nothing tells when the load was hot although the recipe
// counts from it, or although the rule set knows that such loads lag.
func (j judge) blind() bool {
	if j.by.load || j.Row.ClockFrom == rules.FromOven || j.Lag.Known {
		return false
	}
	return j.Row.ClockFrom == rules.FromLoad || j.Lag.Row != ""
}

// clock says what the soak was counted by.
func (j judge) clock() Clock {
	c := Clock{From: rules.FromOven}
	if j.by.load {
		c.From = rules.FromLoad
	} else if j.by.lag > 0 {
		c.From, c.Lag = rules.FromLoad, j.Lag
	}
	wanted := j.by.load || !j.air
	for _, s := range j.Sensors {
		if (s.Position == evidence.InLoad) == wanted && len(j.within(s)) > 0 {
			c.Sensors = append(c.Sensors, s.Sensor)
		}
	}
	return c
}

// counted returns the temperature that a point shows for a soak and whether it
// is one that the soak rests on. Counted from the load, a reading of the air can
// end a soak and not carry it. Counted from the oven, a reading in the load
// below the minimum says nothing of the air, and one that is not stands for it.
func (j judge) counted(p point, by count) (temp measure.Temperature, counts bool) {
	switch {
	case p.hasAir && p.hasLoad && by.load:
		return min(p.air, p.load), true
	case by.load:
		return p.one(), p.hasLoad
	case p.hasAir:
		return p.air, true
	case p.load >= j.Row.Min.Temperature || !j.air:
		return p.load, true
	}
	return j.Row.Min.Temperature, false
}
