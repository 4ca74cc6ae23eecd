// Package alarm says what someone must know now: which rods near their limit or
// are past it, which hold is complete, which oven is out of range or silent.
//
// A condition is a pure function of the facts and an instant. It begins at an
// instant that follows from the facts, not from the moment somebody looked, so
// that a watch that was stopped raises afterwards what it would have raised.
package alarm

import (
	"fmt"
	"slices"
	"strings"

	"ovenward/inventory/measure"
)

// Kind is what a condition is about.
type Kind string

// The kinds of condition.
const (
	ExposureNear Kind = "exposure-near" // the warning share of the limit is reached
	ExposurePast Kind = "exposure-past" // the limit is reached
	HoldComplete Kind = "hold-complete"
	HoldingNear  Kind = "holding-days-near" // the warning share of the days that stock may lie in holding
	HoldingPast  Kind = "holding-days-past"
	OvenCold     Kind = "oven-cold"
	OvenHot      Kind = "oven-hot"
	NoReading    Kind = "no-reading"
	CheckMissed  Kind = "check-missed" // nobody looked at an oven when it was due

	ClimateOutside Kind = "climate-outside" // a store's air is outside of what its stock asks for
	ClimateMissing Kind = "climate-missing" // nobody read a store's air on a day

	ShelfLifeNear Kind = "shelf-life-near" // the first warning before a lot's last day
	ShelfLifeLast Kind = "shelf-life-last" // the second
	Expired       Kind = "expired"

	CertificateMissing Kind = "certificate-missing" // a lot has waited too long for it
)

var kinds = []Kind{ExposureNear, ExposurePast, HoldComplete, HoldingNear, HoldingPast, OvenCold, OvenHot, NoReading, CheckMissed,
	ClimateOutside, ClimateMissing, ShelfLifeNear, ShelfLifeLast, Expired, CertificateMissing}

// OfLot reports whether the condition is one of a lot.
func (k Kind) OfLot() bool {
	return slices.Contains([]Kind{ShelfLifeNear, ShelfLifeLast, Expired, CertificateMissing}, k)
}

// Kinds returns every kind.
func Kinds() []Kind { return slices.Clone(kinds) }

// OfPlace reports whether the condition is one of a place, not of rods.
func (k Kind) OfPlace() bool {
	return slices.Contains([]Kind{OvenCold, OvenHot, NoReading, CheckMissed, ClimateOutside, ClimateMissing}, k)
}

// ParseKind returns the kind of a name. The error lists them.
func ParseKind(s string) (Kind, error) {
	if slices.Contains(kinds, Kind(s)) {
		return Kind(s), nil
	}
	names := make([]string, len(kinds))
	for i, k := range kinds {
		names[i] = string(k)
	}
	return "", fmt.Errorf("unknown alert %q: use one of %s", s, strings.Join(names, ", "))
}

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
	Subject string          // the slip, bundle or place
	Bundle  string          // the rods it was judged by; empty for a place
	Since   measure.Instant // when it began
	Until   measure.Instant // when it ceased; zero while it stands

	Priority    Priority
	What        string
	Consequence string
	Action      string
	Due         measure.Instant // until when acting helps; zero: no such time
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
