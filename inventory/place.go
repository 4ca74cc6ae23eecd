package inventory

import "strings"

// PlaceKind is what sort of place a stay is in.
type PlaceKind string

// The kinds of place. OpenAir and Packet are conditions rather than places
// that are set up; they need no record of their own.
const (
	Shelf       PlaceKind = "shelf"
	HoldingOven PlaceKind = "holding oven"
	BakeOven    PlaceKind = "bake oven"
	Quiver      PlaceKind = "quiver"
	Feeder      PlaceKind = "feeder"
	Hopper      PlaceKind = "hopper"
	OpenAir     PlaceKind = "open air"
	Packet      PlaceKind = "packet"
)

// placeKinds lists the kinds that a site sets up, in the order of use.
var placeKinds = []PlaceKind{Shelf, HoldingOven, BakeOven, Quiver, Feeder, Hopper}

// ParsePlaceKind returns the kind of a place as written. The error is a
// *Refusal that lists the kinds.
func ParsePlaceKind(s string) (PlaceKind, error) {
	names := ""
	for i, k := range placeKinds {
		if string(k) == s {
			return k, nil
		}
		if i > 0 {
			names += ", "
		}
		names += string(k)
	}
	return "", &Refusal{Code: Unknown, Subject: "kind", Value: s, Why: "unknown kind of place " + quote(s),
		Next: "use one of: " + names}
}

// Heated reports whether a place of the kind is meant to be hot.
func (k PlaceKind) Heated() bool { return k == HoldingOven || k == BakeOven || k == Quiver }

// Afield reports whether rods in a place of the kind are still with their
// welder rather than back in the crib.
func Afield(k PlaceKind) bool { return k == OpenAir || k == Quiver || k == Feeder || k == Hopper }

// Place is somewhere a bundle can be.
type Place struct {
	Name string    `json:"place" db:"place"`
	Kind PlaceKind `json:"kind" db:"kind"`
}

// Where names a place with its rack as a label does, "H1/3".
func Where(place, rack string) string {
	if rack == "" {
		return place
	}
	return place + "/" + rack
}

// Store is the shelf that every site has without setting it up.
const Store = "store"

// Reserved returns the place behind a reserved name: "open air", "packet" or
// "store", in capital or small letters.
func Reserved(name string) (Place, bool) {
	switch {
	case strings.EqualFold(name, string(OpenAir)):
		return Place{Name: string(OpenAir), Kind: OpenAir}, true
	case strings.EqualFold(name, string(Packet)):
		return Place{Name: string(Packet), Kind: Packet}, true
	case strings.EqualFold(name, Store):
		return Place{Name: Store, Kind: Shelf}, true
	}
	return Place{}, false
}

// SameName reports whether two names of places or sensors are one: they are
// written in capital or small letters, as the hand or the scanner has it.
func SameName(a, b string) bool { return strings.EqualFold(a, b) }

func quote(s string) string { return `"` + s + `"` }
