package alarm

import (
	"fmt"
	"slices"

	"ovenward/inventory/measure"
)

// Entry is what the catalogue says of a kind of alarm: how long it may be
// shelved, and whether one that is over still waits for an acknowledgement.
type Entry struct {
	Kind Kind
	// Shelf is the longest time on the shelf; zero: it is never shelved.
	Shelf measure.Duration
	// Second asks for a second person for the shelf.
	Second bool
	// Kept waits for an acknowledgement after the condition ceased: rods were or
	// may have been harmed. The others need nobody once they are over.
	Kept   bool
	Source string
	Status string // "shop": a starting figure for the shop to change; "memory"
}

// shift is the longest time on the shelf for what a shift must see.
const shift = 12 * measure.Hour

// starter says where the figures come from: no standard gives them.
const starter = "starter catalogue, our judgement; shelving bounds by kind as OPC UA Part 9 and ISA-18.2 ask for"

var catalogue = []Entry{
	{Kind: ExposurePast, Kept: true, Source: "a deadline is arithmetic on recorded facts", Status: "shop"},
	{Kind: ExposureNear, Shelf: shift, Source: starter + "; to the limit at most", Status: "shop"},
	{Kind: HoldingNear, Shelf: shift, Source: starter + "; to the limit at most", Status: "shop"},
	{Kind: HoldingPast, Kept: true, Source: "a deadline is arithmetic on recorded facts", Status: "shop"},
	{Kind: ShelfLifeNear, Shelf: 14 * measure.Day, Source: starter, Status: "shop"},
	{Kind: ShelfLifeLast, Shelf: 7 * measure.Day, Source: starter, Status: "shop"},
	{Kind: Expired, Kept: true, Source: "a deadline is arithmetic on recorded facts", Status: "shop"},
	{Kind: CertificateMissing, Shelf: 14 * measure.Day, Source: starter, Status: "shop"},
	{Kind: HoldComplete, Shelf: measure.Day, Source: starter, Status: "shop"},
	{Kind: OvenCold, Shelf: shift, Second: true, Kept: true, Source: starter, Status: "shop"},
	{Kind: OvenHot, Shelf: shift, Kept: true, Source: starter, Status: "shop"},
	{Kind: NoReading, Shelf: measure.Day, Kept: true, Source: starter, Status: "shop"},
	{Kind: CheckMissed, Shelf: shift, Source: starter, Status: "shop"},
	{Kind: ClimateOutside, Shelf: 7 * measure.Day, Kept: true, Source: starter, Status: "shop"},
	{Kind: ClimateMissing, Shelf: measure.Day, Source: starter, Status: "shop"},
}

// Catalogue returns what it says of every kind.
func Catalogue() []Entry { return slices.Clone(catalogue) }

// Of returns what the catalogue says of a kind. A kind that it does not know is
// never shelved and kept until it is acknowledged.
func Of(k Kind) Entry {
	for _, e := range catalogue {
		if e.Kind == k {
			return e
		}
	}
	return Entry{Kind: k, Kept: true}
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
