package app

import (
	"slices"

	"ovenward/inventory"
	"ovenward/inventory/stockdb"
)

// outOn returns the rods that come back on a slip: those named; or those that
// go by the slip's own code; or what was set apart, once those are back. Where
// more come back than these, rods that were apart came back mixed.
func (d *desk) outOn(s inventory.Slip, e *inventory.Returned) (inventory.Bundle, error) {
	if s.Closed != 0 {
		return inventory.Bundle{}, closedSlip(s, "the slip was closed at "+s.Closed.In(d.zone))
	}
	all, err := stockdb.SlipBundles(d.ctx, d.tx, d.site, s.Code)
	if err != nil {
		return inventory.Bundle{}, err
	}
	out := slices.DeleteFunc(all, inventory.Bundle.Empty)
	if e.Bundle != "" {
		return d.setApart(s, e.Bundle, out)
	}
	own := slices.IndexFunc(out, func(b inventory.Bundle) bool { return b.Code == s.Code })
	back := int64(e.Unused) + int64(e.Stubs) + int64(e.Damaged) + int64(e.Unidentified)
	switch {
	case len(out) == 0:
		return inventory.Bundle{}, closedSlip(s, "nothing is out on it any more")
	case len(out) == 1:
		return out[0], nil
	case own >= 0 && back <= out[own].Pieces:
		return out[own], nil
	case !d.happened && (own >= 0 || back == pieces(out)):
		return d.mixed(s, out)
	}
	return inventory.Bundle{}, &inventory.Refusal{Code: inventory.Unknown, Subject: s.Code,
		Why: "rods of the slip are out apart, as " + list(codes(out)), Next: "say which of them came back"}
}

func closedSlip(s inventory.Slip, why string) error {
	return &inventory.Refusal{Code: inventory.Duplicate, Subject: s.Code, Why: why,
		Next: "see what came back with: ovenward trace " + s.Code + "; correct the return if it was wrong"}
}

// setApart returns the rods of a name that are out on a slip.
func (d *desk) setApart(s inventory.Slip, name string, out []inventory.Bundle) (inventory.Bundle, error) {
	b, err := d.bundle(name)
	if err != nil {
		return b, err
	}
	if err := b.OutOn(s.Code); err != nil {
		return b, err
	}
	if !slices.Contains(out, b) {
		return b, closedSlip(s, b.Code+" is back already")
	}
	return b, nil
}

// mixed records that the rods of a slip were put together: from then on they
// have the worst of each history.
func (d *desk) mixed(s inventory.Slip, out []inventory.Bundle) (inventory.Bundle, error) {
	as, err := d.assign('B', "")
	if err != nil {
		return inventory.Bundle{}, err
	}
	together := &inventory.Joined{Bundles: codes(out), As: as}
	if _, err := d.write(Request{ID: following(d.id, 1), At: d.at, By: d.by, Entry: together}); err != nil {
		return inventory.Bundle{}, err
	}
	d.warn("rods of slip %s that were apart (%s) came back mixed: all %d count with the longest exposure of any",
		s.Code, list(codes(out)), pieces(out))
	return d.bundle(together.As)
}

func codes(bundles []inventory.Bundle) []string {
	out := make([]string, len(bundles))
	for i, b := range bundles {
		out[i] = b.Code
	}
	return out
}

func pieces(bundles []inventory.Bundle) int64 {
	n := int64(0)
	for _, b := range bundles {
		n += b.Pieces
	}
	return n
}
