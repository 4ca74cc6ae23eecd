// Package alarm says what someone must know now: which rods near their limit or
// are past it, which hold is complete, which oven is out of range or silent.
//
// A condition is a pure function of the facts and an instant. It begins at an
// instant that follows from the facts, not from the moment somebody looked, so
// that a watch that was stopped raises afterwards what it would have raised.
package alarm

import (
	"slices"

	"ovenward/inventory/measure"
)

// Priority is how soon a person must act.
type Priority string

// The priorities.
const (
	High   Priority = "high"
	Medium Priority = "medium"
	Low    Priority = "low"
)

// Compare orders priorities, the most urgent first.
func (p Priority) Compare(o Priority) int {
	order := []Priority{High, Medium, Low}
	return slices.Index(order, p) - slices.Index(order, o)
}

// Condition is a state of the shop that someone must know of, from the instant
// it began until it ceased.
type Condition struct {
	Kind    Kind
	Subject string          // the slip, bundle, lot, place, or what a check is of
	Bundle  string          // the rods it was judged by; empty for a place
	Since   measure.Instant // when it began
	Until   measure.Instant // when it ceased; zero while it stands

	Priority    Priority
	What        string
	Consequence string
	Action      string
	Due         measure.Instant // until when acting helps; zero: no such time
	Afterwards  bool            // it was over before a look that did not see it: nobody is called for it
}

// Key tells conditions apart: the same one is raised once ever.
type Key struct {
	Kind    Kind
	Subject string
	Since   measure.Instant
}

// Key returns what tells the condition apart from others.
func (c Condition) Key() Key { return Key{c.Kind, c.Subject, c.Since} }

// LateAfter is how long after it began a condition may be raised without being
// marked late: a watch looks once a minute.
const LateAfter = 2 * measure.Minute

// Late reports whether a condition is late if it is raised at an instant.
func (c Condition) Late(raised measure.Instant) bool { return raised.Sub(c.Since) > LateAfter }
