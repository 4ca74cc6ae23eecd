package inventory

// Verdict is what a rule set says of a bundle at an instant.
type Verdict string

// The verdicts.
const (
	Sealed  Verdict = "sealed"  // closed as it came
	Ready   Verdict = "ready"   // may be issued
	Hold    Verdict = "hold"    // back at temperature, not long enough yet
	Out     Verdict = "out"     // with a welder or in the open, within the limit
	Bake    Verdict = "bake"    // must be baked before use
	Discard Verdict = "discard" // must not be used
	QAHold  Verdict = "qa-hold" // QA decides
	Unruled Verdict = "no-rule" // no row of the rule set speaks of it
)
