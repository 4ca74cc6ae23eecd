package bake

import "ovenward/inventory/measure"

// Judge judges a run from its readings alone; a typed "baked" proves nothing.
//
// The soak is counted from the first reading at set point, one that is not
// below the set temperature nor below the row's minimum, plus the load's lag,
// to the run's end or the last reading that is not below the minimum. A reading
// below the minimum ends a soak, and so does a gap longer than MaxGap; the next
// one begins at set point again, with its lag. The longest counts against the
// row's soak, all together against its longest permitted one.
//
// A run is Doubtful when it may have harmed the rods: a reading over the
// maximum, one above the pre-soak temperature before the pre-soak was complete,
// too long at temperature. So is one whose answer depends on what a gap hides.
// Where several parts failed Why names them all and the worst decides.
//
// While To is zero the result is Running, and Why says what has failed already
// and which stage the run had reached at its last reading.
func Judge(r Run) Outcome {
	if r.Row == nil {
		return r.unjudged("the rule set has no bake for this stock")
	}
	j := judge{Run: r, points: r.points()}
	if len(j.points) == 0 {
		return r.unjudged("no readings in the bake oven")
	}
	j.proven, j.possible = j.soaks(false), j.soaks(true)
	best := longest(j.proven)
	out := Outcome{Soak: best.length, Low: best.low, High: best.high}
	faults := j.harm()
	if r.To == 0 {
		out.Why = faults.and(j.stage()).String()
		return out
	}
	faults = append(faults, j.lack()...)
	out.Result, out.Why = faults.worst(), faults.String()
	return out
}

// unjudged is the outcome of a run about which the readings say nothing.
func (r Run) unjudged(why string) Outcome {
	if r.To == 0 {
		return Outcome{Result: Running, Why: why}
	}
	return Outcome{Result: Doubtful, Why: why}
}

// judge is a run while it is judged.
type judge struct {
	Run
	points   []point
	proven   []soak // a gap ends a soak
	possible []soak // whatever a gap hides was soak
}

// harm returns what may have harmed the rods and no more time can mend.
func (j judge) harm() faults {
	var found faults
	limit := j.Row.Max
	if peak := j.peak(); limit.Given() && peak > limit.Temperature {
		found = found.add(Doubtful, "%s, over %s", j.show(peak), j.show(limit.Temperature))
	}
	if limit.Given() && j.Order.Set > limit.Temperature {
		found = found.add(Doubtful, "set point %s, over %s", j.show(j.Order.Set), j.show(limit.Temperature))
	}
	return append(append(found, j.hasty()...), j.tooLong()...)
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
		return faults{}.add(Doubtful, "pre-soak missing: %s at the first reading, over %s",
			j.show(j.points[0].high), j.show(j.ceiling()))
	}
	low := j.points[:hot]
	if first, last := low[0].at, low[hot-1].at; last.Sub(first) >= j.Row.Presoak {
		return faults{}.add(Doubtful, "pre-soak not proven: no reading for %s", words(silence(low, first, last)))
	}
	return faults{}.add(Doubtful, "pre-soak short by %s", words(j.Row.Presoak-length))
}

// tooLong returns whether the rods were longer at temperature than they may be.
func (j judge) tooLong() faults {
	limit := j.Row.SoakMax
	proven, possible := total(j.proven), total(j.possible)
	switch {
	case limit == 0 || possible <= limit:
		return nil
	case proven > limit:
		return faults{}.add(Doubtful, "soak %s, over %s", words(proven), words(limit))
	}
	return faults{}.add(Doubtful, "soak perhaps %s, over %s: no reading for %s",
		words(possible), words(limit), words(j.longestGap()))
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
		found = found.add(result, "set point %s, below %s", j.show(j.Order.Set), j.show(floor))
	}
	switch {
	case proven >= need:
		return found
	case len(j.possible) == 0:
		return found.add(Short, "%s not reached: %s at most", j.show(j.atSet()), j.show(j.best()))
	case possible < need:
		return found.add(Short, "soak short by %s", words(need-possible))
	}
	return found.add(Doubtful, "soak not proven: no reading for %s", words(j.longestGap()))
}

// longestGap returns the longest time of the run without a reading.
func (j judge) longestGap() measure.Duration {
	return silence(j.points, j.From, max(j.To, j.points[len(j.points)-1].at))
}
