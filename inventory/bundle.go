package inventory

import (
	"slices"

	"ovenward/inventory/measure"
)

// Bundle is a number of equal pieces, or a mass of wire or flux, of one lot
// that share one history.
type Bundle struct {
	Code     string
	Lot      string
	Package  Package
	Tight    bool // came in a tight package with its seal intact
	Sealed   bool // not opened yet
	Pieces   int64
	Mass     measure.Mass // of weighed stock; zero for counted
	Place    Place
	Rack     string // the rack of the place that it lies on; empty: none is named
	Slip     string // the slip it is out on, empty in the crib
	Hold     string // why QA holds this bundle, empty when it does not
	Received measure.Instant
	Born     measure.Instant
	Recycled bool // flux that was reclaimed
	Returned bool // was out on a slip or baked before, or was split from what was: it goes out first
}

// Empty reports whether nothing is left of the bundle.
func (b Bundle) Empty() bool { return b.Pieces == 0 && b.Mass == 0 }

// Stay is one bundle in one place from one instant to another.
type Stay struct {
	Place    Place
	Rack     string // the rack of the place; empty: none is named
	From     measure.Instant
	To       measure.Instant // zero while it lasts
	Sealed   bool
	Slip     string // the slip the bundle is out on
	Returned bool   // began with a return from a slip, so a hold is owed
	Bake     *BakeOrder
}

// BakeOrder is what was asked of a bake oven.
type BakeOrder struct {
	Set    measure.Temperature
	Layers int64
	Load   measure.Mass   // of the whole load; zero: not weighed
	Depth  measure.Length // of flux; zero: not said
}

// History is what happened to the rods of one bundle, back to the can.
type History struct {
	Bundle  string
	Tight   bool // came in a tight package with its seal intact
	Origins []Origin
	Born    measure.Instant
	Stays   []Stay // in order of From
	Events  []Event
}

// Origin is a bundle that rods came from, with its history up to the instant
// they left it.
type Origin struct {
	History *History
	Until   measure.Instant
}

// EventKind is something that happened to rods besides being somewhere.
type EventKind string

// The kinds of event.
const (
	GotWet     EventKind = "wet"
	Decided    EventKind = "decided" // QA's approved disposition
	WasCovered EventKind = "covered" // covered where it is, on a machine
)

// Event is something that happened to rods at an instant.
type Event struct {
	At          measure.Instant
	Kind        EventKind
	Disposition string // of a decision: "release", "bake" or "discard"
}

// Opened returns when the first of a bundle's rods were out of their package,
// back to the can; zero if all are sealed.
func (h *History) Opened() measure.Instant { return h.opened(map[*History]bool{}) }

func (h *History) opened(seen map[*History]bool) measure.Instant {
	if seen[h] {
		return 0
	}
	seen[h] = true
	var first measure.Instant
	if i := slices.IndexFunc(h.Stays, func(s Stay) bool { return !s.Sealed }); i >= 0 {
		first = h.Stays[i].From
	}
	for _, o := range h.Origins {
		if at := o.History.opened(seen); at != 0 && at <= o.Until && (first == 0 || at < first) {
			first = at
		}
	}
	return first
}

// Covered returns when what stays where it is was covered there; zero if it was
// not.
func (h *History) Covered() measure.Instant {
	n := len(h.Stays)
	if n == 0 {
		return 0
	}
	for _, e := range slices.Backward(h.Events) {
		if e.Kind == WasCovered && e.At >= h.Stays[n-1].From {
			return e.At
		}
	}
	return 0
}
