package alarm

import (
	"fmt"

	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
	"ovenward/storage/rounds"
)

// Unchecked returns a condition for each check of a heated place that was not
// made when it was due: from then until it was made, or until the next one was
// due. It is a finding of its own, whatever the temperatures were.
func Unchecked(place string, list []rounds.Round, w Words) []Condition {
	var found []Condition
	for i, r := range list {
		if r.State == rounds.Done {
			continue
		}
		c := Condition{Kind: CheckMissed, Subject: place, Since: r.Due, Until: r.At, Priority: Low,
			What:        fmt.Sprintf("%s was to be checked by %s and was not", place, w.clock(r.Due, r.Due)),
			Consequence: "nobody has seen whether it works, what lies on its floor and whether its door is shut",
			Action:      "look at it and record it: ovenward oven check " + place}
		if r.State == rounds.Missed && i+1 < len(list) {
			c.Until = list[i+1].Due
		}
		found = append(found, c)
	}
	return found
}

// Hush takes out of a place's conditions what a planned shutdown is the cause
// of: too cold, and no readings. What still lasts at the shutdown's end begins
// then. It also returns those that it took out or put off; too hot is never one.
func Hush(found []Condition, off []evidence.Off, at measure.Instant) (loud, hushed []Condition) {
	for _, c := range found {
		put := false
		for _, o := range off {
			if (c.Kind == OvenCold || c.Kind == NoReading) && o.From <= c.Since && c.Since < o.To {
				hushed, put = append(hushed, c), true
				c.Since = o.To
			}
		}
		if put && (c.Since > at || (c.Until != 0 && c.Until <= c.Since)) {
			continue
		}
		loud = append(loud, c)
	}
	return loud, hushed
}
