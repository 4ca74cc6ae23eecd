package bake

import (
	"fmt"

	"ovenward/inventory/measure"
)

// PresoakCeiling is the highest temperature of the run's pre-soak; false where its
// recipe asks for none.
func (r Run) PresoakCeiling() (measure.Temperature, bool) {
	if r.Row == nil || r.Row.Presoak == 0 {
		return 0, false
	}
	return judge{Run: r}.ceiling(), true
}

// ceiling is the highest temperature of the pre-soak: a share of the chosen
// temperature, counted from the zero of the unit system that the rule set
// decides in. Half of 500 °F is 250 °F, half of 260 °C is 130 °C, and these are
// 8.9 °C apart.
func (j judge) ceiling() measure.Temperature {
	zero := measure.Celsius(0)
	if j.Units == measure.US {
		zero = measure.Fahrenheit(0)
	}
	return zero + (j.Order.Set-zero)*measure.Temperature(j.Row.PresoakPercent)/100
}

// presoak returns the longest unbroken time at or below the ceiling before the
// first reading above it, and the index of that reading; it is the number of
// readings where none is above. Between two readings the higher one applies, so
// the way up does not count.
func (j judge) presoak() (length measure.Duration, hot int) {
	ceiling := j.ceiling()
	since := j.points[0].at
	for i, p := range j.points {
		if p.high > ceiling {
			return length, i
		}
		if i > 0 && j.gap(j.points[i-1].at, p.at) {
			since = p.at
		}
		length = max(length, p.at.Sub(since))
	}
	return length, len(j.points)
}

// soak is one unbroken time at temperature.
type soak struct {
	from, to  measure.Instant
	low, high measure.Temperature
	length    measure.Duration // without the load's lag
}

// atSet is what a soak begins at.
func (j judge) atSet() measure.Temperature {
	return max(j.Order.Set, j.Row.Min.Temperature)
}

// soaks returns the soaks of the run in order of time, counted in a way. With
// bridge the time of every gap counts as soak, to find the most that there may
// have been; without it a gap ends a soak.
func (j judge) soaks(bridge bool, by count) []soak {
	f := folding{lag: by.lag}
	before := j.From
	across := func(to measure.Instant) {
		switch {
		case !j.gap(before, to):
		case bridge:
			f.begin(before)
			f.reach(to)
		default:
			f.end()
		}
		before = to
	}
	for _, p := range j.points {
		temp, counts := j.counted(p, by)
		if counts {
			across(p.at)
		}
		switch {
		case temp < j.Row.Min.Temperature:
			f.end()
		case !counts:
			f.glimpse(p.high)
		case f.open || temp >= j.atSet():
			f.begin(p.at)
			f.read(p.at, temp, p.high)
		}
	}
	if j.To != 0 {
		across(j.To)
		f.reach(j.To)
	}
	f.end()
	return f.done
}

// folding gathers soaks.
type folding struct {
	lag  measure.Duration
	done []soak
	now  soak
	open bool
	seen bool // the soak has a reading
}

func (f *folding) begin(at measure.Instant) {
	if !f.open {
		f.now, f.open, f.seen = soak{from: at, to: at}, true, false
	}
}

func (f *folding) reach(at measure.Instant) { f.now.to = at }

func (f *folding) read(at measure.Instant, low, high measure.Temperature) {
	if !f.seen {
		f.now.low, f.now.high, f.seen = low, high, true
	}
	f.now.low, f.now.high = min(f.now.low, low), max(f.now.high, high)
	f.reach(at)
}

// glimpse takes in a reading that carries no soak.
func (f *folding) glimpse(high measure.Temperature) {
	if f.open && f.seen {
		f.now.high = max(f.now.high, high)
	}
}

func (f *folding) end() {
	if !f.open {
		return
	}
	f.now.length = max(0, f.now.to.Sub(f.now.from)-f.lag)
	f.done, f.open = append(f.done, f.now), false
}

// longest returns the longest soak, the earlier of equals.
func longest(all []soak) soak {
	var best soak
	for i, s := range all {
		if i == 0 || s.length > best.length {
			best = s
		}
	}
	return best
}

// total returns the time of all soaks.
func total(all []soak) measure.Duration {
	var sum measure.Duration
	for _, s := range all {
		sum += s.length
	}
	return sum
}

// heated returns the time at set point of all soaks, the load's lag included.
func heated(all []soak) measure.Duration {
	var sum measure.Duration
	for _, s := range all {
		sum += s.to.Sub(s.from)
	}
	return sum
}

// stage says how far a running bake was at its last reading.
func (j judge) stage() string {
	last := j.points[len(j.points)-1]
	if best := longest(j.proven).length; best >= j.Row.Soak {
		return fmt.Sprintf("soak complete, %s of %s", words(best), words(j.Row.Soak))
	}
	if n := len(j.proven); n > 0 && j.proven[n-1].to == last.at {
		if at := last.at.Sub(j.proven[n-1].from); at < j.by.lag {
			return fmt.Sprintf("at set point, load lag %s of %s", words(at), words(j.by.lag))
		}
		return fmt.Sprintf("soak %s of %s", words(j.proven[n-1].length), words(j.Row.Soak))
	}
	if length, hot := j.presoak(); j.Row.Presoak != 0 && hot == len(j.points) {
		return fmt.Sprintf("pre-soak %s of %s", words(length), words(j.Row.Presoak))
	}
	return fmt.Sprintf("heating, %s of %s", j.show(last.low()), j.show(j.atSet()))
}
