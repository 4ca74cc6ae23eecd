package feed

import "ovenward/inventory/measure"

// Quality says whether a value that came in is a reading, or why it proves nothing.
// A code never changes its meaning.
type Quality string

// What a value that came in may be.
const (
	Good        Quality = "good"
	Unreadable  Quality = "unreadable"  // its time or its figure cannot be read
	Unknown     Quality = "unknown"     // no sensor or place has its name
	Implausible Quality = "implausible" // no place of its kind shows that
	Future      Quality = "future"      // it would be read later than it came in
	Conflict    Quality = "conflict"    // another value came for its sensor and instant before it
)

// Words says what a quality means to a person.
func (q Quality) Words() string {
	switch q {
	case Good:
		return "a reading"
	case Unreadable:
		return "cannot be read"
	case Unknown:
		return "of no sensor or place of the site"
	case Implausible:
		return "no such place shows that"
	case Future:
		return "ahead of its time"
	case Conflict:
		return "another value came first"
	}
	return string(q)
}

// ClockPlay is how far a logger's clock may be ahead of ours before its readings
// are flagged: no clock runs exactly, and a reading that waits two minutes for its
// time proves nothing earlier than it. Our own figure.
const ClockPlay = 2 * measure.Minute
