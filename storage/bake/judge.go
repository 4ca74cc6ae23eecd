package bake

import (
	"errors"

	"ovenward/inventory/measure"
	"ovenward/storage/rules"
)

// Judge judges a run from its readings alone; a typed "baked" proves nothing.
//
// The soak is counted from the first reading at set point, one that is not
// below the set temperature nor below the row's minimum, plus the load's lag,
// to the run's end or the last reading that is not below the minimum. A reading
// below the minimum ends a soak, and so does a gap longer than MaxGap; the next
// one begins at set point again, with its lag. The longest counts against the
// row's soak, all together against its longest permitted one. Whether the
// readings of the oven's air or of its load decide is the row's; where a row
// counts from the load and a sensor is in it, that sensor needs no lag.
//
// A run is Doubtful when it may have harmed the rods: a reading over the
// maximum, one above the pre-soak temperature before the pre-soak was complete,
// too fast a rise, too many layers, too long at temperature. So is one whose
// answer depends on what a gap hides or on a lag that nobody knows. Where
// several parts failed Why names them all and the worst decides.
//
// While To is zero the result is Running, and Why says what has failed already
// and which stage the run had reached at its last reading.
func Judge(r Run) Outcome {
	if r.Row == nil {
		return r.without()
	}
	j := judge{Run: r, points: r.points()}
	if len(j.points) == 0 {
		return r.unjudged(Doubtful, "no readings in the bake oven")
	}
	for _, p := range j.points {
		j.air, j.load = j.air || p.hasAir, j.load || p.hasLoad
	}
	j.by = j.count()
	j.proven, j.possible = j.soaks(false, j.by), j.soaks(true, j.by)
	best := longest(j.proven)
	out := Outcome{Soak: best.length, Low: best.low, High: best.high, Heated: heated(j.possible), Clock: j.clock(), Row: r.Row}
	faults := j.harm()
	if r.To == 0 {
		out.Why, out.Stages = faults.and(j.stage()).String(), j.stages(faults)
		return out
	}
	faults = append(faults, j.lack()...)
	out.Result, out.Why, out.Stages = faults.worst(), faults.String(), j.stages(faults)
	return out
}

// without is the outcome of a run for which there is no recipe. A layer that is
// too deep for every row has dried nothing and harmed nothing.
func (r Run) without() Outcome {
	if r.NoRow == nil {
		return r.unjudged(Doubtful, "the rule set has no bake for this stock")
	}
	if _, deep := errors.AsType[*rules.DepthError](r.NoRow); deep {
		return r.unjudged(Short, r.NoRow.Error())
	}
	return r.unjudged(Doubtful, r.NoRow.Error())
}

// unjudged is the outcome of a run about which the readings say nothing.
func (r Run) unjudged(result Result, why string) Outcome {
	if r.To == 0 {
		result = Running
	}
	return Outcome{Result: result, Why: why, Row: r.Row}
}

// judge is a run while it is judged.
type judge struct {
	Run
	points   []point
	air      bool // a sensor in the air showed something
	load     bool // a sensor in the load did
	by       count
	proven   []soak // a gap ends a soak
	possible []soak // whatever a gap hides was soak
}

// harm returns what may have harmed the rods and no more time can mend.
func (j judge) harm() faults {
	var found faults
	limit := j.Row.Max
	if peak := j.peak(); limit.Given() && peak.high > limit.Temperature {
		found = found.add(Doubtful, at(peak.at), "%s, over %s", j.show(peak.high), j.show(limit.Temperature))
	}
	if limit.Given() && j.Order.Set > limit.Temperature {
		found = found.add(Doubtful, nowhere, "set point %s, over %s", j.show(j.Order.Set), j.show(limit.Temperature))
	}
	if most := j.Row.MaxLayers; most > 0 && j.Order.Layers > most {
		found = found.add(Doubtful, nowhere, "%d layers, at most %d", j.Order.Layers, most)
	}
	return append(append(append(found, j.hasty()...), j.steep()...), j.tooLong()...)
}

// hasty returns what is wrong with the way to the pre-soak's end. A load that
// never went above the pre-soak temperature lacks a soak, not a pre-soak.
func (j judge) hasty() faults {
	if j.Row.Presoak == 0 {
		return nil
	}
	length, hot := j.presoak()
	switch {
	case hot == len(j.points) || length >= j.Row.Presoak:
		return nil
	case hot == 0:
		return faults{}.add(Doubtful, in(Presoak), "pre-soak missing: %s at the first reading, over %s",
			j.show(j.points[0].high), j.show(j.ceiling()))
	}
	low := j.points[:hot]
	if first, last := low[0].at, low[hot-1].at; last.Sub(first) >= j.Row.Presoak {
		return faults{}.add(Doubtful, in(Presoak), "pre-soak not proven: no reading for %s", words(silence(low, first, last)))
	}
	return faults{}.add(Doubtful, in(Presoak), "pre-soak short by %s", words(j.Row.Presoak-length))
}

// tooLong returns whether the rods were longer at temperature than they may be,
// by the recipe's clock and by that of its rows that count from the oven.
func (j judge) tooLong() faults {
	found := j.longer(j.Row.SoakMax, j.proven, j.possible)
	if limit := j.Row.OvenSoakMax; limit > 0 {
		found = append(found, j.longer(limit, j.soaks(false, count{}), j.soaks(true, count{}))...)
	}
	return found
}

func (j judge) longer(limit measure.Duration, proven, possible []soak) faults {
	least, most := total(proven), total(possible)
	switch {
	case limit == 0 || most <= limit:
		return nil
	case least > limit:
		return faults{}.add(Doubtful, in(Soak), "soak %s, over %s", words(least), words(limit))
	}
	return faults{}.add(Doubtful, in(Soak), "soak perhaps %s, over %s: no reading for %s",
		words(most), words(limit), words(j.longestGap()))
}

// lack returns what the rods did not get.
func (j judge) lack() faults {
	need := j.Row.Soak
	proven, possible := longest(j.proven).length, longest(j.possible).length
	var found faults
	if floor := j.Row.Min.Temperature; j.Order.Set < floor {
		result := Short
		if proven >= need {
			result = Doubtful // the order and the readings contradict each other
		}
		found = found.add(result, nowhere, "set point %s, below %s", j.show(j.Order.Set), j.show(floor))
	}
	switch {
	case proven >= need && j.blind():
		return found.add(Doubtful, in(Soak), "%s", j.whyBlind())
	case proven >= need:
		return found
	case len(j.possible) == 0:
		return found.add(Short, in(Soak), "%s not reached: %s at most", j.show(j.atSet()), j.show(j.best()))
	case possible < need:
		return found.add(Short, in(Soak), "soak short by %s", words(need-possible))
	}
	return found.add(Doubtful, in(Soak), "soak not proven: no reading for %s", words(j.longestGap()))
}

// whyBlind says why nothing tells when the load was hot.
func (j judge) whyBlind() string {
	switch o := j.Order; {
	case j.Lag.Row == "":
		return "soak not proven: it counts from the load, no sensor is in it and no load lag is known"
	case o.Load > 0:
		return "soak not proven: no sensor is in the load, and no load lag is known for " + o.Load.String()
	}
	return "soak not proven: no sensor is in the load, and no load lag is known for so many layers"
}

// longestGap returns the longest time of the run without a reading.
func (j judge) longestGap() measure.Duration {
	counted := j.points
	if j.by.load {
		counted = nil
		for _, p := range j.points {
			if p.hasLoad {
				counted = append(counted, p)
			}
		}
	}
	return silence(counted, j.From, max(j.To, j.points[len(j.points)-1].at))
}
