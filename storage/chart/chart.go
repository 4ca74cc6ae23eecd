// Package chart draws what the sensors of a place showed over a time, with the
// limits that it was held against: as lines of text for a terminal, and as SVG.
//
// Nothing is drawn through a time without readings, and a reading that keeps a
// limit is never drawn on the wrong side of it.
package chart

import (
	"math"
	"time"

	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
)

// Chart is temperatures over time, with what belongs to them.
type Chart struct {
	Title    string
	Says     string             // what it shows, in sentences, for a person who cannot see it
	Zone     *time.Location     // of the clock along the bottom
	Units    measure.UnitSystem // of the temperatures
	From, To measure.Instant
	MaxGap   measure.Duration // readings further apart are not joined by a line
	Curves   []Curve
	Limits   []Limit
	Lanes    []Lane
}

// Curve is what one sensor showed, in order of time.
type Curve struct {
	Name     string
	Readings []evidence.Reading
}

// Limit is a temperature with a line of its own. A reading on its wrong side is
// marked, unless it is a guide, which a run has to pass.
type Limit struct {
	Says  string // "at least 250 °F (row hold)"
	At    measure.Temperature
	Upper bool // readings may be at it and below; else at it and above
	Guide bool
}

// keeps reports whether a temperature is on the limit's right side.
func (l Limit) keeps(t measure.Temperature) bool {
	if l.Upper {
		return t <= l.At
	}
	return t >= l.At
}

// Lane is a line below the curves that says when something was so.
type Lane struct {
	Name      string
	Mark      Mark
	Stretches []Stretch
}

// Stretch is a time in a lane. To may lie at or before From for an instant.
type Stretch struct {
	From, To measure.Instant
	Says     string // about it; may be empty
}

// Mark is how a lane is drawn.
type Mark rune

// The marks.
const (
	Inside  Mark = '=' // a bundle was there
	Fault   Mark = '#' // out of range, or a part of a bake that failed
	Unknown Mark = '?' // nothing proves what was
	Off     Mark = 'o' // switched off on purpose
	Done    Mark = '>' // a part of a bake that went as asked
	Event   Mark = '|' // at an instant
)

// breach says on which side of the limits a reading is.
type breach int

const (
	fine breach = iota
	below
	above
)

// breaches judges a reading by the limits that are no guides.
func (c Chart) breaches(t measure.Temperature) breach {
	for _, l := range c.Limits {
		switch {
		case l.Guide || l.keeps(t):
		case l.Upper:
			return above
		default:
			return below
		}
	}
	return fine
}

// spread returns the lowest and the highest temperature to be drawn, with an
// eighth of room on either side, at least ten degrees.
func (c Chart) spread() (low, high measure.Temperature) {
	low, high = math.MaxInt64, math.MinInt64
	for _, l := range c.Limits {
		low, high = min(low, l.At), max(high, l.At)
	}
	for _, k := range c.Curves {
		for _, r := range c.shown(k) {
			low, high = min(low, r.Temp), max(high, r.Temp)
		}
	}
	if low > high {
		low, high = 0, 0
	}
	const least = 10 * measure.Degree
	room := max((high-low)/8, least)
	return low - room, high + room
}

// shown returns the readings of a curve that the chart's time holds.
func (c Chart) shown(k Curve) []evidence.Reading {
	var all []evidence.Reading
	for _, r := range k.Readings {
		if r.At >= c.From && r.At <= c.To {
			all = append(all, r)
		}
	}
	return all
}

// runs parts a curve where two readings are too far apart to prove anything.
func (c Chart) runs(k Curve) [][]evidence.Reading {
	var all [][]evidence.Reading
	for i, r := range c.shown(k) {
		last := len(all) - 1
		if i == 0 || r.At.Sub(all[last][len(all[last])-1].At) > c.MaxGap {
			all = append(all, []evidence.Reading{r})
			continue
		}
		all[last] = append(all[last], r)
	}
	return all
}

// along returns how many of so many steps an instant lies along the chart's time,
// from 0 to steps.
func (c Chart) along(at measure.Instant, steps int) int {
	whole := max(c.To.Sub(c.From), 1)
	part := min(max(at.Sub(c.From), 0), whole)
	return int(math.Floor(float64(part) / float64(whole) * float64(steps)))
}
