package app

import "ovenward/inventory"

// takes returns the bundles that an entry takes as it finds them; rods out on a
// slip are a bundle under the slip's code. Empty names stand for none.
func takes(e inventory.Entry) []string {
	switch e := e.(type) {
	case *inventory.HeldBack:
		return []string{e.Bundle}
	case *inventory.Opened:
		return []string{e.Bundle}
	case *inventory.Moved:
		return []string{e.Bundle}
	case *inventory.Joined:
		return e.Bundles
	case *inventory.Issued:
		return []string{e.Bundle}
	case *inventory.Returned:
		return []string{e.Slip, e.Bundle}
	case *inventory.Baked:
		return []string{e.Bundle}
	case *inventory.WentWet:
		return []string{e.Bundle}
	case *inventory.Scrapped:
		return []string{e.Bundle}
	case *inventory.Counted:
		return []string{e.Bundle}
	case *inventory.Decision:
		return []string{e.Bundle}
	case *inventory.Proposed:
		return []string{e.Bundle, e.Slip}
	case *inventory.Noted:
		return []string{e.Bundle, e.Slip}
	case *inventory.Covered:
		return []string{e.Bundle}
	case *inventory.Reclaimed:
		return []string{e.Bundle}
	case *inventory.Blended:
		return e.Bundles()
	}
	return nil
}

// makes returns the name that an entry gives to a new bundle, empty for none.
func makes(e inventory.Entry) string {
	switch e := e.(type) {
	case *inventory.Received:
		return e.Bundle
	case *inventory.Moved:
		return e.As
	case *inventory.Joined:
		return e.As
	case *inventory.Issued:
		return e.Slip
	case *inventory.Returned:
		return e.As
	case *inventory.Proposed:
		return e.Proposal
	case *inventory.Reclaimed:
		return e.As
	case *inventory.Blended:
		return e.As
	}
	return ""
}

// ofLot returns the lot that an entry speaks of as a whole, empty for none.
func ofLot(e inventory.Entry) string {
	switch e := e.(type) {
	case *inventory.Received:
		return e.Lot
	case *inventory.LotReleased:
		return e.Lot
	case *inventory.HeldBack:
		return e.Lot
	case *inventory.Proposed:
		return e.Lot
	case *inventory.Decision:
		return e.Lot
	case *inventory.Extended:
		return e.Lot
	case *inventory.Blended:
		return e.Lot
	}
	return ""
}

// ofStock reports whether facts of a kind speak of lots and bundles. Those can
// be corrected, and are applied in the order in which they happened.
func ofStock(kind string) bool {
	switch kind {
	case "receive", "release", "hold", "open", "move", "join", "issue", "return", "bake", "wet", "scrap", "count", "decide", "propose", "note",
		"cover", "extend", "reclaim", "blend":
		return true
	}
	return false
}
