// Package disk says how much room is left where the program writes.
package disk

import (
	"errors"
	"fmt"

	"ovenward/alerts/alarm"
	"ovenward/inventory/measure"
)

// ErrUnknown means that this system does not say how much space is free.
var ErrUnknown = errors.New("free space is not known on this system")

// The shares of free space below which there is an alarm: the starter catalogue has
// 10 %, and the last warning before nothing can be recorded is at 2 %.
const (
	low  = 0.10
	last = 0.02
)

// Checks are what is noted of a folder in which a share of the space, 0 to 1, is
// free: one check for each limit, so that falling below the second is an alarm of
// its own.
func Checks(what, folder string, free float64, at measure.Instant) []alarm.Check {
	text := fmt.Sprintf("disk of the %s: %.1f %% free at %s", what, 100*free, folder)
	return []alarm.Check{
		{Kind: alarm.DiskLow, Subject: "disk of the " + what, At: at, Bad: free < low, What: text + ", less than 10 %"},
		{Kind: alarm.DiskLow, Subject: "disk of the " + what + ", almost full", At: at, Bad: free < last, What: text + ", less than 2 %"},
	}
}
