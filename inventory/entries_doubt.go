package inventory

import "ovenward/inventory/measure"

// Settled is QA's disposition of everything that was judged by a sensor before a
// check found it wrong: of the joints that rods went into as well, which no
// decision about stock can speak of.
type Settled struct {
	Sensor      string          `json:"sensor"`
	Check       string          `json:"check,omitempty"`    // when it was made, on the site's clock; the last one where left out
	Made        measure.Instant `json:"check_us,omitempty"` // the same to the microsecond, filled in by the program
	Disposition string          `json:"disposition"`        // "accept" or "reject"
	Why         string          `json:"why"`
	Proposer    string          `json:"proposer"` // another person than who records it
}

// The dispositions of what a check of a sensor casts doubt on.
const (
	AcceptDoubt = "accept" // what was used stays as it is
	RejectDoubt = "reject" // the joints are to be examined or repaired
)

// Kind implements Entry.
func (*Settled) Kind() string { return "settle" }
