// Package rounds says which of the checks that a shop asks of a heated place
// were made in time, late, or not at all.
//
// How often a person looks at an oven is the shop's own rule. No code read gives
// an interval.
package rounds

import (
	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
)

// State says what became of a check that was due.
type State string

// The states.
const (
	Done   State = "done"
	Late   State = "late"
	Missed State = "missed"
)

// Round is one check that was due.
type Round struct {
	Due   measure.Instant
	At    measure.Instant // when it was made; zero: it was not
	State State
}

// Of returns the checks that were due from one instant to another, in order of
// time. Each is due so long after the one before it; the first so long after the
// last check before the first instant, or after that instant where there was
// none. A check that comes more than a whole interval late has left the one
// before it out. While the place is shut down none is due before its end.
func Of(every measure.Duration, from, to measure.Instant, made []measure.Instant, off []evidence.Off) []Round {
	if every <= 0 {
		return nil
	}
	r := rounds{every: every, off: off}
	r.next(from)
	for _, at := range made {
		switch {
		case at < from:
			r.next(at)
		case at < to:
			r.check(at)
		}
	}
	for r.due < to {
		r.miss()
	}
	return r.list
}

type rounds struct {
	every measure.Duration
	off   []evidence.Off
	due   measure.Instant
	list  []Round
}

// next makes a check due so long after an instant.
func (r *rounds) next(after measure.Instant) {
	r.due = after.Add(r.every)
	for _, o := range r.off { // in order of time
		if o.From <= r.due && r.due < o.To {
			r.due = o.To
		}
	}
}

func (r *rounds) check(at measure.Instant) {
	for at > r.due.Add(r.every) {
		r.miss()
	}
	state := Done
	if at > r.due {
		state = Late
	}
	r.list = append(r.list, Round{Due: r.due, At: at, State: state})
	r.next(at)
}

func (r *rounds) miss() {
	r.list = append(r.list, Round{Due: r.due, State: Missed})
	r.next(r.due)
}
