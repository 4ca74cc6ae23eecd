package demand

import (
	"fmt"

	"ovenward/forecast/joint"
)

// Source is something that makes a need differ from the plan.
type Source int

// The sources of spread.
const (
	FitUp     Source = iota // openings and angles within their limits, legs above their size
	Repairs                 // how many welds are repaired
	Lateness                // jobs that start later than planned
	Habit                   // what use has taught, as far as it is known
	Weeks                   // what weeks differ by beyond all that
	Unplanned               // use that no joint explains
	sources
)

// String names the source as the buyer reads it.
func (s Source) String() string {
	return [...]string{"fit-up", "repairs", "late starts", "use against plan", "week to week", "use not planned"}[s]
}

// Share is the part of the variance that one source makes by itself, of what all
// of them make by themselves.
type Share struct {
	Source Source
	Part   float64
}

// Chances say how far a need may be from the plan.
type Chances struct {
	Seed  uint64
	Draws int
	// Late is the chance that a job starts 0, 1, 2 ... weeks late. They add up to
	// 1; empty: all start as planned.
	Late      []float64
	Ratios    map[joint.Item]Ratio     // what use has taught; the rest: UntaughtRatio
	Unplanned map[joint.Item][]float64 // use that no joint explains, in each past week
	Usual     map[joint.Item]float64   // its forecast for a coming week; the rest: the plain mean
}

// What the simulation takes where nothing else is known. All are common
// practice from memory: no published figure was found.
const (
	// OverLeg is how much more a fillet's metal may be where nobody gave limits:
	// a leg 10 % above its size, which consumption tables count in silence.
	OverLeg = 1.21
	// repairVaries is the deviation of a repair rate over its mean: published
	// averages run from 0.5 % to 3.4 % about 2 %.
	repairVaries = 0.5
)

// MostDraws bounds the runs of a simulation.
const MostDraws = 100_000

func (c Chances) check() error {
	if c.Draws < 1 || c.Draws > MostDraws {
		return fmt.Errorf("draws %d: give 1 to %d", c.Draws, MostDraws)
	}
	var all float64
	for _, p := range c.Late {
		if !(p >= 0) {
			return fmt.Errorf("chance of a late start %v: below zero", p)
		}
		all += p
	}
	if len(c.Late) > 0 && (all < 1-1e-9 || all > 1+1e-9) {
		return fmt.Errorf("chances of a late start add up to %v, not 1", all)
	}
	return nil
}
