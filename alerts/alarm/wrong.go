package alarm

import (
	"fmt"
	"strings"

	"ovenward/inventory/measure"
)

// Wrong is a check of a sensor that found another error than was known, and what
// it changes in what was judged before.
type Wrong struct {
	Sensor, Place string
	Found         measure.Temperature // shown above the true temperature
	Since         measure.Instant     // the check before, from when it may have been wrong; zero: there was none
	Check         measure.Instant
	Over          measure.Instant // when QA had decided about all of it; zero: it has not

	Compared, Changed int      // judgements that rest on the sensor, and those that come out differently
	Slips             []string // of those
	Joints            []string // that the slips name
	Bundles           []string // of those that are not out on a slip
	Words             Words
}

// Condition is the alarm that a wrong sensor is, from the check that found it
// until QA has decided about everything that was judged by it.
func (w Wrong) Condition() Condition {
	c := Condition{Kind: SensorWrong, Subject: w.Sensor, Since: w.Check, Until: w.Over, Priority: High}
	c.What = fmt.Sprintf("%s: %d of %d judgements come out differently", w.Words.WasWrong(w.Sensor, w.Found, w.Since, w.Check), w.Changed, w.Compared)
	var touched []string
	for _, t := range []struct {
		what  string
		names []string
	}{{"stock", w.Bundles}, {"slips", w.Slips}, {"joints", w.Joints}} {
		if len(t.names) > 0 {
			touched = append(touched, t.what+" "+some(t.names))
		}
	}
	c.Consequence = "judged by readings that were not true: " + strings.Join(touched, "; ")
	if len(w.Slips) > 0 && len(w.Joints) == 0 {
		c.Consequence += "; no joint is named on the slips: QA must find where the rods went"
	}
	c.Action = fmt.Sprintf("keep the stock apart and look at each joint: ovenward oven affected %s; then decide: ovenward decide sensor %s", w.Sensor, w.Sensor)
	return c
}

// someNames is how many names an alarm tells before it counts the rest.
const someNames = 6

func some(names []string) string {
	if n := len(names) - someNames; n > 0 {
		return fmt.Sprintf("%s and %d more", strings.Join(names[:someNames], ", "), n)
	}
	return strings.Join(names, ", ")
}

// WasWrong says what a check of a sensor found, and for which time it speaks.
func (w Words) WasWrong(sensor string, found measure.Temperature, since, check measure.Instant) string {
	way := "high"
	if found < 0 {
		found, way = -found, "low"
	}
	from := "the first reading"
	if since != 0 {
		from = since.In(w.Zone)
	}
	to := check.In(w.Zone)
	if since != 0 {
		to = w.clock(check, since)
	}
	return fmt.Sprintf("%s read %s %s from %s to %s", sensor, found.Difference(w.Units), way, from, to)
}
