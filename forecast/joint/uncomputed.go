package joint

import "fmt"

// Reason is why a joint cannot be computed.
type Reason string

// The reasons.
const (
	NoGeometry     Reason = "no-geometry"     // the preparation has no formula here
	MissingSize    Reason = "missing-size"    // a size that the formula needs is not given
	ImpossibleSize Reason = "impossible-size" // a size contradicts another or a limit
	UnusedSize     Reason = "unused-size"     // a size is given that the formula has no place for
	UnknownItem    Reason = "unknown-item"    // no data for the class and diameter
	BadSplit       Reason = "bad-split"       // the pass split does not fill the joint once
)

// UncomputedError says why a joint cannot be computed and what to write
// instead. Field is the name of the plan's column.
type UncomputedError struct {
	Reason Reason
	Field  string
	Value  string // as given; empty when nothing was
	Why    string
	Write  string
}

// Error returns the whole sentence.
func (e *UncomputedError) Error() string {
	if e.Value == "" {
		return fmt.Sprintf("%s: %s; write %s", e.Field, e.Why, e.Write)
	}
	return fmt.Sprintf("%s %s: %s; write %s", e.Field, e.Value, e.Why, e.Write)
}
