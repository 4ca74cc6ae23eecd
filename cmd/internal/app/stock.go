package app

import (
	"fmt"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
	"ovenward/storage/exposure"
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

func (d *desk) received(e *inventory.Received) (err error) {
	lot, b, err := e.Stock()
	if err != nil {
		return err
	}
	if err := d.sameLot(lot); err != nil {
		return err
	}
	if e.Bundle, err = d.assign('B', e.Bundle); err != nil {
		return err
	}
	if e.Into == "" {
		e.Into = inventory.Store
	}
	into, err := d.place(e.Into)
	if err != nil {
		return err
	}
	if !b.Tight {
		d.warn("came without a tight seal: low-hydrogen rods are baked before first use")
	}
	if !b.Sealed && into.Kind != inventory.HoldingOven {
		d.warn("the package is open: its rods are exposed from now on")
	}
	return d.barred(lot, b, into)
}

// sameLot refuses a second receipt of a lot that says another class or size.
func (d *desk) sameLot(l inventory.Lot) error {
	have, err := stockdb.Lot(d.ctx, d.tx, d.site, l.Code)
	if err != nil {
		return ignoreMissing(err)
	}
	next := "compare both labels; a maker's number that stands for two products is received under two lot numbers"
	if have.Mark.Canonical != l.Mark.Canonical {
		return &inventory.Refusal{Code: inventory.WrongClass, Subject: l.Code, Value: l.Mark.Canonical, Limit: have.Mark.Canonical,
			Why: fmt.Sprintf("the lot is here as %s, not %s", have.Mark.Canonical, l.Mark.Canonical), Next: next}
	}
	if !have.Diameter.Near(l.Diameter) {
		return &inventory.Refusal{Code: inventory.WrongSize, Subject: l.Code, Value: l.Size, Limit: have.Size,
			Why: fmt.Sprintf("the lot is here in %s, not %s", have.Size, l.Size), Next: next}
	}
	return nil
}

func (d *desk) heldBack(e *inventory.HeldBack) error {
	if e.Why == "" {
		return &inventory.Refusal{Code: inventory.Unknown, Subject: "why", Why: "a hold without a reason tells QA nothing", Next: "say why with --why"}
	}
	if e.Lot != "" {
		_, err := d.lot(e.Lot)
		return err
	}
	b, err := d.bundle(e.Bundle)
	e.Bundle = b.Code
	return err
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
	if into.Kind != inventory.HoldingOven {
		d.warn("not put into a holding oven: its rods are exposed from %s on", d.at.Minute().Clock(d.zone, d.at))
	}
	return d.barred(l, b, into)
}

// barred refuses a place that the rule set in force keeps the stock out of.
func (d *desk) barred(l inventory.Lot, b inventory.Bundle, into inventory.Place) error {
	set, err := d.setFor(b, "")
	if set == nil || err != nil {
		return err // without a rule set nothing is barred, and nothing goes out either
	}
	row := set.Barred(subject(l, b), into.Kind)
	if row == nil {
		return nil
	}
	code := inventory.CoStorage
	if into.Kind == inventory.BakeOven {
		code = inventory.NeverBake
	}
	return d.ruled(&inventory.Refusal{Code: code, Subject: into.Name, Value: l.Mark.Canonical,
		Why:  fmt.Sprintf("%s does not go into a %s: %s", l.Mark.Canonical, into.Kind, row.Why),
		Rule: set.ID + "/" + row.Row, Source: row.Source, Next: "keep it dry on a shelf, away from the ovens"})
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
	if err := d.barred(l, b, into); err != nil {
		return err
	}
	pieces := e.Pieces // none given stays "all of it", whatever all turns out to be
	part, err := d.part(l, b, &pieces, e.Mass)
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
		e.Mass = b.Mass.String()
	}
	e.As, err = d.assign('B', e.As)
	return err
}

// part checks an amount taken from a bundle; none given means all of it. It
// reports whether something stays behind.
func (d *desk) part(l inventory.Lot, b inventory.Bundle, pieces *inventory.Count, mass string) (bool, error) {
	if !l.Counted() {
		if *pieces != 0 {
			return false, weighed(fmt.Sprint(*pieces))
		}
		if mass == "" {
			return false, nil
		}
		m, err := measure.ParseMass(mass)
		if err != nil {
			return false, inventory.FieldRefusal("mass", err)
		}
		if m <= 0 || m > b.Mass {
			return false, notEnough(b, m.String(), b.Mass.String())
		}
		return m < b.Mass, nil
	}
	if mass != "" {
		return false, rodsCounted(mass)
	}
	if *pieces == 0 {
		*pieces = inventory.Count(b.Pieces)
	}
	if int64(*pieces) > b.Pieces {
		return false, notEnough(b, fmt.Sprint(*pieces), fmt.Sprint(b.Pieces))
	}
	return int64(*pieces) < b.Pieces, nil
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

func (d *desk) scrapped(e *inventory.Scrapped) error {
	b, err := d.inCrib(e.Bundle)
	if err != nil {
		return err
	}
	e.Bundle = b.Code
	l, err := d.lot(b.Lot)
	if err != nil {
		return err
	}
	pieces := e.Pieces // none given stays "all of it"
	part, err := d.part(l, b, &pieces, e.Mass)
	if err != nil {
		return err
	}
	if part {
		if err := b.Divisible(); err != nil {
			return err
		}
	}
	set, err := d.setFor(b, "")
	if set == nil || err != nil {
		return err
	}
	j, err := d.judged(set, b)
	e.Judged = &j.Verdict
	return err
}

func (d *desk) counted(e *inventory.Counted) error {
	b, err := d.bundle(e.Bundle)
	if err != nil {
		return err
	}
	e.Bundle = b.Code
	if err := d.born(b); err != nil {
		return err
	}
	if err := b.Countable(int64(e.Pieces), e.Mass != ""); err != nil {
		return err
	}
	l, err := d.lot(b.Lot)
	if err != nil {
		return err
	}
	if l.Counted() {
		return d.countedRods(e, b)
	}
	return d.reweighed(e, b)
}

func (d *desk) countedRods(e *inventory.Counted, b inventory.Bundle) error {
	if e.Mass != "" {
		return rodsCounted(e.Mass)
	}
	if diff := int64(e.Pieces) - b.Pieces; diff != 0 {
		d.warn("the books said %d, %d were counted: a difference of %d is kept", b.Pieces, e.Pieces, diff)
	}
	return nil
}

func (d *desk) reweighed(e *inventory.Counted, b inventory.Bundle) error {
	if e.Pieces != 0 {
		return weighed(fmt.Sprint(e.Pieces))
	}
	mass, err := measure.ParseMass(e.Mass)
	if err != nil {
		return inventory.FieldRefusal("mass", err)
	}
	if mass < 0 {
		return &inventory.Refusal{Code: inventory.Unit, Subject: "mass", Value: e.Mass, Why: "less than nothing", Next: "weigh it again"}
	}
	if mass != b.Mass {
		d.warn("the books said %s, %s were weighed: the difference is kept", b.Mass, mass)
	}
	return nil
}

func (d *desk) decided(e *inventory.Decision) error {
	b, err := d.here(e.Bundle)
	if err != nil {
		return err
	}
	e.Bundle = b.Code
	switch {
	case e.Disposition != "release" && e.Disposition != "bake" && e.Disposition != "discard":
		return &inventory.Refusal{Code: inventory.Unknown, Subject: "disposition", Value: e.Disposition,
			Why: fmt.Sprintf("unknown disposition %q", e.Disposition), Next: "use release, bake or discard"}
	case e.Why == "":
		return &inventory.Refusal{Code: inventory.Unknown, Subject: "why", Why: "a disposition without a reason proves nothing", Next: "say why"}
	case e.Proposer == "" || e.Proposer == d.by:
		return &inventory.Refusal{Code: inventory.SamePerson, Subject: b.Code, Value: d.by,
			Why: "who proposes a disposition does not approve it", Next: "have another person with authority record it, with --proposer naming who proposed it"}
	}
	return nil
}

func (d *desk) baked(e *inventory.Baked) error {
	b, err := d.inCrib(e.Bundle)
	if err != nil {
		return err
	}
	e.Bundle = b.Code
	oven, err := d.place(e.Place)
	if err != nil {
		return err
	}
	if oven.Kind != inventory.BakeOven {
		return &inventory.Refusal{Code: inventory.Unknown, Subject: oven.Name, Value: string(oven.Kind),
			Why: fmt.Sprintf("%s is a %s, not a bake oven", oven.Name, oven.Kind), Next: "name a bake oven"}
	}
	if _, err := measure.ParseTemperature(e.Set); err != nil {
		return inventory.FieldRefusal("set", err)
	}
	if e.Load != "" {
		if _, err := measure.ParseMass(e.Load); err != nil {
			return inventory.FieldRefusal("load", err)
		}
	}
	l, err := d.lot(b.Lot)
	if err != nil {
		return err
	}
	if err := d.barred(l, b, oven); err != nil {
		return err
	}
	return d.ruled(d.bakeable(b))
}

// bakeable refuses a bake that the rule set does not allow.
func (d *desk) bakeable(b inventory.Bundle) error {
	set, err := d.set("")
	if err != nil {
		return err
	}
	j, err := d.judged(set, b)
	if err != nil {
		return err
	}
	ref := &inventory.Refusal{Subject: b.Code, Why: j.Why, Rule: j.Ruling.Name(), Next: "scrap it: ovenward scrap " + b.Code}
	switch {
	case j.Verdict == inventory.Unruled:
		return noRule(b, j)
	case j.Ruling.Bake == nil:
		ref.Code, ref.Why = inventory.NeverBake, "the rule set has no bake for this stock"
		ref.Next = "keep it as its maker says"
	case j.Verdict == inventory.Discard && j.Bakes >= j.BakesMax:
		ref.Code = inventory.BakesSpent
	case j.Verdict == inventory.Discard:
		ref.Code = inventory.Wet
	default:
		return nil
	}
	return ref
}

func noRule(b inventory.Bundle, j exposure.Judgement) error {
	return &inventory.Refusal{Code: inventory.NoRule, Subject: b.Code, Why: j.Why,
		Next: "QA adds a row with its source to a new version of the rule set, or the stock stays in"}
}
