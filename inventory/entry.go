package inventory

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
)

// Entry is what a person enters as one fact. Its JSON form is the body of the
// fact in the ledger and the line of a timeline; quantities stay as they were
// written, so that a record shows what its author wrote.
type Entry interface {
	// Kind is the verb of the fact: "receive", "issue" ...
	Kind() string
}

// Count is a number of pieces. Rods are counted whole.
type Count int64

// UnmarshalJSON reads a whole number. The error is a *Refusal with code unit.
func (c *Count) UnmarshalJSON(b []byte) error {
	n, err := ParseCount(strings.Trim(string(b), `"`))
	*c = n
	return err
}

// ParseCount reads a number of pieces. The error is a *Refusal: a fraction of a
// rod and less than none are refused.
func ParseCount(s string) (Count, error) {
	n, err := strconv.ParseInt(strings.TrimSpace(s), 10, 64)
	switch {
	case err != nil:
		return 0, &Refusal{Code: Unit, Value: s, Why: fmt.Sprintf("%q is not a whole number of pieces", s),
			Next: "count whole rods; wire and flux are weighed: give a mass such as 5 kg"}
	case n < 0:
		return 0, &Refusal{Code: Unit, Value: s, Limit: "0", Why: fmt.Sprintf("%d pieces is less than none", n),
			Next: "give the number of rods, 0 or more"}
	}
	return Count(n), nil
}

// entries makes an empty entry of each kind.
var entries = map[string]func() Entry{
	"site":      func() Entry { return new(SiteSet) },
	"place":     func() Entry { return new(PlaceSet) },
	"sensor":    func() Entry { return new(SensorSet) },
	"calibrate": func() Entry { return new(Calibrated) },
	"shutdown":  func() Entry { return new(ShutDown) },
	"check":     func() Entry { return new(OvenChecked) },
	"rules":     func() Entry { return new(RulesApproved) },
	"use-rules": func() Entry { return new(RulesUsed) },
	"receive":   func() Entry { return new(Received) },
	"release":   func() Entry { return new(LotReleased) },
	"hold":      func() Entry { return new(HeldBack) },
	"open":      func() Entry { return new(Opened) },
	"move":      func() Entry { return new(Moved) },
	"join":      func() Entry { return new(Joined) },
	"issue":     func() Entry { return new(Issued) },
	"return":    func() Entry { return new(Returned) },
	"bake":      func() Entry { return new(Baked) },
	"reclaim":   func() Entry { return new(Reclaimed) },
	"blend":     func() Entry { return new(Blended) },
	"extend":    func() Entry { return new(Extended) },
	"cover":     func() Entry { return new(Covered) },
	"wet":       func() Entry { return new(WentWet) },
	"scrap":     func() Entry { return new(Scrapped) },
	"count":     func() Entry { return new(Counted) },
	"decide":    func() Entry { return new(Decision) },
	"handover":  func() Entry { return new(HandedOver) },
	"day":       func() Entry { return new(DayClosed) },
	"void":      func() Entry { return new(Voided) },
	"person":    func() Entry { return new(PersonSet) },
	"propose":   func() Entry { return new(Proposed) },
	"note":      func() Entry { return new(Noted) },

	"climate":     func() Entry { return new(ClimateRead) },
	"test-report": func() Entry { return new(TestReported) },
	"joint":       func() Entry { return new(JointSet) },
	"job":         func() Entry { return new(JobSet) },
	"certificate": func() Entry { return new(CertificateSet) },
	"turned-away": func() Entry { return new(TurnedAway) },
	"settle":      func() Entry { return new(Settled) },
}

// Kinds returns every kind of fact, in the order of the alphabet.
func Kinds() []string { return slices.Sorted(maps.Keys(entries)) }

// NewEntry returns an empty entry of a kind. The error is a *Refusal.
func NewEntry(kind string) (Entry, error) {
	if make, ok := entries[kind]; ok {
		return make(), nil
	}
	return nil, &Refusal{Code: Unknown, Subject: kind, Value: kind, Why: "no such kind of fact",
		Next: "see the timeline section of DEVELOPERS.md for the kinds"}
}

// DecodeEntry reads the body of a fact of a kind.
func DecodeEntry(kind, body string) (Entry, error) {
	e, err := NewEntry(kind)
	if err != nil {
		return nil, err
	}
	if err := json.Unmarshal([]byte(body), e); err != nil {
		return nil, fmt.Errorf("body of a fact of kind %s: %w", kind, err)
	}
	return e, nil
}

// DecodeStrict reads the body of a fact of a kind as DecodeEntry does, and
// refuses fields that the kind does not have.
func DecodeStrict(kind string, body []byte) (Entry, error) {
	e, err := NewEntry(kind)
	if err != nil {
		return nil, err
	}
	d := json.NewDecoder(bytes.NewReader(body))
	d.DisallowUnknownFields()
	err = d.Decode(e)
	if _, refused := errors.AsType[*Refusal](err); refused {
		return nil, FieldRefusal(kind, err) // a value that its own field refuses
	}
	if err != nil {
		return nil, FieldRefusal(kind, errors.New(strings.TrimPrefix(err.Error(), "json: ")))
	}
	return e, nil
}
