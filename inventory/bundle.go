package inventory

import "ovenward/inventory/measure"

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
	GotWet  EventKind = "wet"
	Decided EventKind = "decided" // QA's approved disposition
)

// Event is something that happened to rods at an instant.
type Event struct {
	At          measure.Instant
	Kind        EventKind
	Disposition string // of a decision: "release", "bake" or "discard"
}
