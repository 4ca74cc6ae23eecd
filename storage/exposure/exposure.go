// Package exposure computes for how long a covering may have taken up
// moisture, and what its rule set says of that.
//
// A judgement is a pure function of the history of the rods, the evidence for
// the places they were in, the rows that apply and an instant. It is made
// twice: once as if every unproven minute had been at temperature, once as if
// it had been in the open. Where both give one verdict, that is the verdict;
// where they differ QA decides with both numbers before them.
package exposure

import (
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/air"
	"ovenward/storage/bake"
	"ovenward/storage/evidence"
	"ovenward/storage/rules"
)

// Kind is what a stretch of time means for a covering.
type Kind string

// The kinds of time.
const (
	Sealed   Kind = "sealed"
	Open     Kind = "open"
	Kept     Kind = "kept"
	Portable Kind = "portable" // in a quiver proven hot enough for its own credit
	Packet   Kind = "packet"
	Hopper   Kind = "hopper"
	Bagged   Kind = "bagged" // back in its pack, which stops the clock
	Baking   Kind = "baking"
	Unproven Kind = "unproven"
)

// Facts are what a judgement is made from. Histories that rods have in common
// must be shared, not copied: each is walked once however often rods were
// parted and joined again.
type Facts struct {
	History *inventory.History
	Places  map[string]*evidence.Place // by name; a place that is missing has no sensor
	Ruling  rules.Ruling

	// Of column B, where the ruling has a row for it.
	Report *rules.Report       // of the maker and class, in force; nil: none
	Air    map[string]*air.Log // by the place that AirOf names; one that is missing has no reading
}

// Piece is one stretch of time of the history, with what it counted for. The
// two counts are those of the two folds.
type Piece struct {
	Bundle      string
	Place       string
	From, To    measure.Instant
	Kind        Kind
	Why         string
	Low         measure.Temperature // the lowest corrected reading behind it
	Proven      bool                // whether Low is one
	Least, Most measure.Duration    // exposure after the piece
}

// Baked is a run in a bake oven with what it was worth.
type Baked struct {
	Bundle string // as which the rods left
	Place  string
	Run    bake.Run
	bake.Outcome
	Count int64 // bakes after it, as Judgement.Bakes
}

// Judgement is the verdict on a bundle at an instant, with what it rests on.
type Judgement struct {
	At      measure.Instant
	Verdict inventory.Verdict
	Why     string // one clause

	Least, Most measure.Duration // under the two readings of missing evidence, without a hold in progress
	Portable    measure.Duration // time under a quiver's own credit, in the fold of Most
	Limit       measure.Duration // in force; zero where no clock runs
	Bakes       int64            // as the row counts them that leaves the fewest
	BakesMax    int64
	EveryRod    int64            // valid bakes that each of the rods was in: of joined bundles the fewest
	BakesBy     string           // that row, or the set's own setting
	Heated      measure.Duration // at set point in all bakes, valid or not
	Spent       *rules.BakeLimit // that lets rods be baked no more; nil: they may be

	Warn  measure.Instant  // when the most exposure reaches the warning share; zero: not in sight
	Due   measure.Instant  // when it reaches the limit; zero: not in sight
	Ready measure.Instant  // when the hold will be complete; zero: no hold is running
	Held  measure.Instant  // when the last hold was completed; zero: none since the clock last ran
	Hold  measure.Duration // time held in the hold in progress, the less certain of the two folds
	Days  HoldingDays

	Boundary  bool // exactly at the limit
	Wet       bool
	FirstBake bool // waits for the bake before its first use
	Owed      bool // came back from a slip and has not been held since
	Kind      Kind // of the present time, open where unproven; empty where nothing is left of the bundle
	Ruling    rules.Ruling
	Longer    *Longer // what column B makes of the limit; nil: the rule set has no row for the stock
	Pieces    []Piece // only from Explain
	Runs      []Baked // in bake ovens; only from Explain
}

// HoldingDays is the total time in holding, in the fold with more of it.
type HoldingDays struct {
	Total, Max measure.Duration // Max is zero where it has no limit
	Warn       measure.Instant  // when the warning share was or will be reached; zero: not in sight
	Due        measure.Instant  // when the limit was or will be
}

// Cabinet reports whether a drying cabinet, instead of a bake, makes the stock
// usable again.
func (j Judgement) Cabinet() bool {
	return j.Verdict == inventory.Bake && !j.FirstBake && j.Ruling.Hold != nil && j.Ruling.Hold.Cabinet && j.Most > j.Limit
}

// Judge returns the verdict at an instant. Facts later than the instant are
// left out; a reading later than it speaks only for the time since the one
// before it.
func Judge(f Facts, at measure.Instant) Judgement {
	w := fold{facts: &f, law: newLaw(&f), at: at}
	return w.judge()
}

// Explain is Judge with every piece of time that counted, in order of time.
func Explain(f Facts, at measure.Instant) Judgement {
	w := fold{facts: &f, law: newLaw(&f), at: at, trail: &trail{}}
	return w.judge()
}
