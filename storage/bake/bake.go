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
	Heated measure.Duration // at set point in all, lag and what gaps may hide counted: what the covering took
	Clock  Clock
	Stages []Stage        // in order of time; none where nothing could be judged
	Row    *rules.BakeRow // the recipe it was judged by; nil where there is none
}

// Clock says what the soak was counted by.
type Clock struct {
	From    rules.ClockFrom // FromOven or FromLoad
	Sensors []string        // that the soak rests on
	Lag     rules.Lag       // that was taken off; where it is zero none was
}

// Run is what is known of time in a bake oven.
type Run struct {
	Order    inventory.BakeOrder
	From, To measure.Instant    // To is zero while it lasts
	Sensors  []evidence.Shown   // what each sensor of the oven showed
	MaxGap   measure.Duration   // between readings that are further apart nothing is proven
	Lag      rules.Lag          // of the load behind the oven's air
	Row      *rules.BakeRow     // nil: there is no recipe
	NoRow    error              // why, where the rule set has rows: they contradict each other, or are for other loads
	Units    measure.UnitSystem // in which half of a temperature is taken, and temperatures are shown
}
