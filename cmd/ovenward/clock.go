package main

import (
	"fmt"
	"time"

	"ovenward/inventory/measure"
)

// At the window a minute is fine enough. What is rounded is rounded to the
// careful side: a limit earlier, the end of a hold and an exposure later.

// when prints an instant with its date, to the minute; empty for none.
func when(at measure.Instant, zone *time.Location) string {
	if at == 0 {
		return ""
	}
	return at.Minute().In(zone)
}

// until prints the time of day by which something must be done, with the date
// where it is another day than base.
func until(at measure.Instant, zone *time.Location, base measure.Instant) string {
	return at.Minute().Clock(zone, base)
}

// from prints the time of day from which something may be done.
func from(at measure.Instant, zone *time.Location, base measure.Instant) string {
	return at.NextMinute().Clock(zone, base)
}

// hours prints an exposure in hours and minutes, the next minute begun.
func hours(d measure.Duration) string {
	return (d + measure.Minute - 1 - (d+measure.Minute-1)%measure.Minute).String()
}

// recorded prints an exposure that a record holds as h:mm:ss, the next minute
// begun.
func recorded(exposure string) string {
	d, err := measure.ParseDuration(exposure)
	if err != nil {
		return exposure
	}
	return hours(d)
}

// left prints a time that is left or over in words, in minutes where it is one
// or more, in days and hours where it is two days or more.
func left(d measure.Duration) string {
	if d >= 2*measure.Day {
		text := fmt.Sprintf("%d days", d/measure.Day)
		if h := d % measure.Day / measure.Hour; h > 0 {
			text += fmt.Sprintf(" %d h", h)
		}
		return text
	}
	if d >= measure.Minute {
		d -= d % measure.Minute
	}
	return d.Words()
}
