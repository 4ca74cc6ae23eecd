// Package evidence turns the readings of a place's sensors into stretches of
// time that are in range, out of range or unproven.
//
// It takes the careful side throughout: between two readings the lower one
// applies to a minimum and the higher one to a maximum, and where readings are
// further apart than the rule set allows nothing is proven, whatever both of
// them say. A reading speaks alone only for what left the place before the
// next one was overdue.
package evidence

import (
	"ovenward/inventory/measure"
)

// Reading is what one sensor showed at one instant.
type Reading struct {
	At   measure.Instant
	Temp measure.Temperature
}

// Calibration is what a check of a sensor found. Error is in force from At until
// the next one. Found reaches back to the check before, or to the first reading:
// in that time the sensor may have drifted from what was left then to what was
// found now, and nobody knows when.
type Calibration struct {
	At       measure.Instant
	Error    measure.Temperature // what the sensor shows above the true temperature, as it was left
	Found    measure.Temperature // the same, as it was found
	HasFound bool                // else nothing was said of the time before
	Due      measure.Instant     // readings from then on prove nothing; zero: no due date
}

// Band is the range that a rule asks for. A zero Max with HasMax false is no
// upper limit.
type Band struct {
	Min    measure.Temperature
	Max    measure.Temperature
	HasMax bool
}

// finding judges a reading by the lowest and the highest that it may mean.
func (b Band) finding(low, high measure.Temperature) Finding {
	switch {
	case low < b.Min:
		return TooCold
	case b.HasMax && high > b.Max:
		return TooHot
	}
	return InRange
}

// Finding is what the readings show of a stretch of time.
type Finding int

// The findings.
const (
	InRange Finding = iota
	TooCold
	TooHot
	Unproven
)

// String returns the finding in words.
func (f Finding) String() string {
	return [...]string{"in range", "too cold", "too hot", "unproven"}[f]
}

// weight orders the findings of two sensors at one place: what one of them
// proves counts more than what the other cannot prove, and out of range more
// than in range.
func (f Finding) weight() int {
	return [...]int{Unproven: 0, InRange: 1, TooHot: 2, TooCold: 3}[f]
}

// Reason says why a stretch is unproven.
type Reason string

// The reasons.
const (
	NoSensor       Reason = "no reading yet"
	Gap            Reason = "readings too far apart"
	Silent         Reason = "no reading since"
	CalibrationDue Reason = "sensor past its calibration date"
	ShutDown       Reason = "planned shutdown"
)

// Span is a stretch of time with one finding.
type Span struct {
	From, To measure.Instant
	Finding  Finding
	Reason   Reason // of an unproven span
}

// says reports whether two spans say the same.
func (s Span) says(o Span) bool { return s.Finding == o.Finding && s.Reason == o.Reason }
