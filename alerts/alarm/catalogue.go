package alarm

import (
	"fmt"
	"slices"

	"ovenward/inventory/measure"
)

// Entry is what the catalogue says of a kind of alarm.
type Entry struct {
	Kind        Kind
	Priority    Priority // the usual one: a condition may be less urgent where nothing is at stake
	Consequence string
	Action      string
	Who         string // who acts: attendant, qa, purchasing, administrator
	// On is how long it must last before it is raised, Off how long it must be
	// back, by more than the deadband, before it ceases.
	On, Off  measure.Duration
	Deadband measure.Temperature // a difference
	// Deadline is arithmetic on recorded facts, not a measurement: it has no delay.
	Deadline   bool
	Suppressed string // by design when, in words; empty: never
	// Shelf is the longest time on the shelf; zero: it is never shelved.
	Shelf measure.Duration
	// Second asks for a second person for the shelf.
	Second bool
	// Realarm is how long after it was acknowledged one that still stands calls
	// again; zero: it does not.
	Realarm  measure.Duration
	Escalate []Step
	// Kept waits for an acknowledgement after the condition ceased: rods were or
	// may have been harmed. The others need nobody once they are over.
	Kept bool
	// Event is told once and does not stand: nobody has to act on it soon, so that
	// by ISA-18.2 it is no alarm.
	Event  bool
	Source string
	Status string // "shop": a figure for the shop to change; "config": the shop has
}

// Step is to whom an alarm goes that nobody has acknowledged for some time.
type Step struct {
	After measure.Duration
	To    string
}

// Catalogue is what is said of every kind. The zero Catalogue knows none.
type Catalogue struct{ entries []Entry }

// Entries returns what it says of every kind, in the order of Kinds.
func (c Catalogue) Entries() []Entry { return slices.Clone(c.entries) }

// Of returns what the catalogue says of a kind. A kind that it does not know is
// never shelved and kept until it is acknowledged.
func (c Catalogue) Of(k Kind) Entry {
	if i := c.index(k); i >= 0 {
		return c.entries[i]
	}
	return Entry{Kind: k, Kept: true}
}

func (c Catalogue) index(k Kind) int {
	return slices.IndexFunc(c.entries, func(e Entry) bool { return e.Kind == k })
}

// Apply gives a condition the priority that the shop has set for its kind, and
// ends an event where it begins.
func (c Catalogue) Apply(one Condition) Condition {
	e := c.Of(one.Kind)
	if e.Event {
		one.Until = one.Since
	}
	if e.Status == Changed && e.Priority != shipped.Of(one.Kind).Priority {
		one.Priority = e.Priority
	}
	return one
}

// ShelfError is a shelf that the catalogue does not allow.
type ShelfError struct {
	Kind  Kind
	Limit string // in words
	Why   string
}

// Error implements error.
func (e *ShelfError) Error() string { return fmt.Sprintf("shelve %s: %s", e.Kind, e.Why) }

// Check returns nil if a shelf from one instant until another is allowed; due is
// until when acting helps, zero where there is no such time. The error is a
// *ShelfError.
func (e Entry) Check(from, until, due measure.Instant) error {
	switch {
	case e.Shelf == 0:
		return &ShelfError{e.Kind, "never", "this alarm is never shelved"}
	case until <= from:
		return &ShelfError{e.Kind, e.Shelf.Words(), "the shelf would end before it begins"}
	case until.Sub(from) > e.Shelf:
		return &ShelfError{e.Kind, e.Shelf.Words(), "longer than this alarm may be shelved"}
	case due != 0 && until > due:
		return &ShelfError{e.Kind, "the limit of the rods", "rods would pass their limit while it is shelved"}
	}
	return nil
}
