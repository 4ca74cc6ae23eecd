// Package bake judges whether time in a bake oven was a bake: a pre-soak at low
// temperature, the way up, and a soak, each proven by readings.
package bake

import (
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
	"ovenward/storage/rules"
)

// Result says what a run in a bake oven was worth.
type Result int

// The results. A short run leaves the rods as they were, waiting for a bake;
// a doubtful one may have harmed them, and QA decides.
const (
	Running Result = iota // not ended
	Valid
	Short
	Doubtful
)

// String returns the result in a word.
func (r Result) String() string {
	return [...]string{"running", "valid", "short", "doubtful"}[r]
}

// Outcome is the judgement of a run.
type Outcome struct {
	Result Result
	Why    string              // the missing or failed parts, "soak short by 10 min"; of a running one how far it is
	Soak   measure.Duration    // the longest that is proven, without the load's lag
	Low    measure.Temperature // extremes of that soak
	High   measure.Temperature
}

// Run is what is known of time in a bake oven.
type Run struct {
	Order    inventory.BakeOrder
	From, To measure.Instant    // To is zero while it lasts
	Readings []evidence.Reading // corrected, of all sensors of the oven, in any order
	MaxGap   measure.Duration   // between readings that are further apart nothing is proven
	LoadLag  measure.Duration   // the rods reach the set point this long after the oven's air
	Row      *rules.BakeRow     // nil: the rule set has no recipe for this stock
	Units    rules.UnitSystem   // in which half of a temperature is taken, and temperatures are shown
}
