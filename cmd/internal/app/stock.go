package app

import (
	"fmt"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
)

// assign returns the next short code of a kind, or checks a name that the site
// gave itself.
func (d *desk) assign(kind byte, given string) (string, error) {
	if given == "" {
		return stockdb.NextCode(d.ctx, d.tx, d.site, kind)
	}
	code, err := inventory.ParseCode(given)
	if err != nil {
		return "", err
	}
	taken, err := stockdb.Taken(d.ctx, d.tx, d.site, code)
	if err == nil && taken {
		err = stockdb.NameTaken(code)
	}
	return code, err
}

// here returns a bundle that exists at the instant and is not used up.
func (d *desk) here(code string) (inventory.Bundle, error) {
	b, err := d.bundle(code)
	if err != nil {
		return b, err
	}
	if err := d.born(b); err != nil {
		return b, err
	}
	return b, b.Present()
}

// born refuses a bundle that was not there yet at the instant.
func (d *desk) born(b inventory.Bundle) error {
	if d.at >= b.Born {
		return nil
	}
	return &inventory.Refusal{Code: inventory.ImpossibleOrder, Subject: b.Code, Value: d.at.In(d.zone), Limit: b.Born.In(d.zone),
		Why:  fmt.Sprintf("it came to be at %s, after %s", b.Born.In(d.zone), d.at.In(d.zone)),
		Next: "check both times; correct the earlier fact if that one is wrong"}
}

// inCrib is here for what is done in the crib. Rods that are out on a slip come
// back first: else the slip would never close.
func (d *desk) inCrib(code string) (inventory.Bundle, error) {
	b, err := d.here(code)
	if err != nil {
		return b, err
	}
	return b, b.InCrib()
}

func (d *desk) opened(e *inventory.Opened) error {
	b, err := d.here(e.Bundle)
	if err != nil {
		return err
	}
	e.Bundle = b.Code
	if !b.Sealed {
		return &inventory.Refusal{Code: inventory.Duplicate, Subject: b.Code, Why: "it is open already",
			Next: "see since when with: ovenward exposure " + b.Code}
	}
	into := b.Place
	if e.Into != "" {
		if into, err = d.place(e.Into); err != nil {
			return err
		}
	}
	l, err := d.lot(b.Lot)
	if err != nil {
		return err
	}
	set, err := d.setFor(b, "")
	if err != nil {
		return err
	}
	if err := d.warmEnough(set, l, b, e.Cold); err != nil {
		return err
	}
	if into.Kind != inventory.HoldingOven {
		d.openAir(l, d.at.Minute().Clock(d.zone, d.at))
	}
	return d.stows(l, unsealed(b), stow{into, e.Rack, e.Layers})
}

// openAir warns that the clock of what was opened runs.
func (d *desk) openAir(l inventory.Lot, from string) {
	if l.Counted() {
		d.warn("not put into a holding oven: its rods are exposed from %s on", from)
		return
	}
	d.warn("open: the time of its %s counts from %s on", l.Noun(), from)
}

func (d *desk) moved(e *inventory.Moved) error {
	b, err := d.here(e.Bundle)
	if err != nil {
		return err
	}
	e.Bundle = b.Code
	into, err := d.place(e.Into)
	if err != nil {
		return err
	}
	l, err := d.lot(b.Lot)
	if err != nil {
		return err
	}
	if err := d.stows(l, b, stow{into, e.Rack, e.Layers}); err != nil {
		return err
	}
	if set, err := d.setFor(b, ""); err != nil {
		return err
	} else if set != nil {
		d.dropTop(set, l, b, into)
	}
	pieces := e.Pieces // none given stays "all of it", whatever all turns out to be
	part, err := d.part(l, b, &pieces, &e.Mass)
	if err != nil {
		return err
	}
	if !part && e.As == "" {
		return nil
	}
	if part {
		if err := b.Divisible(); err != nil {
			return err
		}
	}
	e.Pieces = pieces
	if e.Mass == "" && !l.Counted() {
		e.Mass = b.Mass.Exact()
	}
	e.As, err = d.assign('B', e.As)
	return err
}

// part checks an amount taken from a bundle; none given means all of it. It
// reports whether something stays behind.
func (d *desk) part(l inventory.Lot, b inventory.Bundle, pieces *inventory.Count, mass *string) (bool, error) {
	if !l.Counted() {
		if *pieces != 0 {
			return false, weighed(fmt.Sprint(*pieces))
		}
		return partMass(b, mass)
	}
	if *mass != "" {
		return false, rodsCounted(*mass)
	}
	if *pieces == 0 {
		*pieces = inventory.Count(b.Pieces)
	}
	if int64(*pieces) > b.Pieces {
		return false, notEnough(b, fmt.Sprint(*pieces), fmt.Sprint(b.Pieces))
	}
	return int64(*pieces) < b.Pieces, nil
}

// partMass is part for what is weighed. A mass that reads as all of it is all
// of it, to the last digit: a screen shows it rounded.
func partMass(b inventory.Bundle, mass *string) (bool, error) {
	if *mass == "" {
		return false, nil
	}
	m, err := measure.ParseMass(*mass)
	if err != nil {
		return false, inventory.FieldRefusal("mass", err)
	}
	if m.Near(b.Mass) {
		*mass = b.Mass.Exact()
		return false, nil
	}
	if m <= 0 || m > b.Mass {
		return false, notEnough(b, m.String(), b.Mass.String())
	}
	return true, nil
}

func weighed(pieces string) error {
	return &inventory.Refusal{Code: inventory.Unit, Subject: "pieces", Value: pieces, Why: "wire and flux are weighed",
		Next: "give a mass such as 5 kg"}
}

func rodsCounted(mass string) error {
	return &inventory.Refusal{Code: inventory.Unit, Subject: "mass", Value: mass, Why: "rods are counted, not weighed",
		Next: "give the number of rods"}
}

func notEnough(b inventory.Bundle, asked, left string) error {
	return &inventory.Refusal{Code: inventory.NotEnough, Subject: b.Code, Value: asked, Limit: left,
		Why: fmt.Sprintf("%s left in %s, %s asked for", left, b.Code, asked), Next: "take what is left, or another bundle of the class"}
}

func (d *desk) joined(e *inventory.Joined) (err error) {
	if len(e.Bundles) < 2 {
		return &inventory.Refusal{Code: inventory.Unknown, Subject: "bundles", Why: "joining takes two bundles or more", Next: "name them all"}
	}
	var first inventory.Bundle
	seen := map[string]bool{}
	for i, code := range e.Bundles {
		b, err := d.here(code)
		if err != nil {
			return err
		}
		e.Bundles[i] = b.Code
		if seen[b.Code] {
			return &inventory.Refusal{Code: inventory.Duplicate, Subject: b.Code, Why: "it is named twice", Next: "name each bundle once"}
		}
		seen[b.Code] = true
		if i == 0 {
			first = b
		}
		if err := inventory.Joinable(first, b); err != nil {
			return err
		}
	}
	e.As, err = d.assign('B', e.As)
	return err
}

// covered decides whether something can have been covered on a machine.
func (d *desk) covered(e *inventory.Covered) error {
	b, err := d.here(e.Bundle)
	if err != nil {
		return err
	}
	e.Bundle = b.Code
	if b.Place.Kind != inventory.Feeder && b.Place.Kind != inventory.Hopper {
		return &inventory.Refusal{Code: inventory.ImpossibleOrder, Subject: b.Code, Value: b.Place.Name,
			Why: "it is in " + b.Place.Name + ", not on a machine", Next: "see where it is with: ovenward stock"}
	}
	return nil
}
