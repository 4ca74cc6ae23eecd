package app

import (
	"fmt"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/exposure"
	"ovenward/storage/rules"
)

// mayBake refuses a disposition that nobody could carry out: the bake of a
// covering that is never baked.
func (d *desk) mayBake(bundle string) error {
	b, err := d.bundle(bundle)
	if err != nil {
		return err
	}
	set, err := d.setFor(b, "")
	if set == nil || err != nil {
		return err
	}
	l, err := d.lot(b.Lot)
	if err != nil {
		return err
	}
	if row := set.Barred(subject(l, b), inventory.BakeOven); row != nil {
		return neverInto(inventory.NeverBake, b.Code, l, inventory.BakeOven, set, row)
	}
	r, err := set.Resolve(subject(l, b))
	if err == nil && r.Recipe.Never() {
		return neverBake(b.Code, l, set)
	}
	return nil // stock of which no row speaks is QA's
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
	l, err := d.lot(b.Lot)
	if err != nil {
		return err
	}
	o, err := bakeOrder(e, l)
	if err != nil {
		return err
	}
	if err := d.stows(l, unsealed(b), stow{oven, e.Rack, e.Layers}); err != nil {
		return err
	}
	if set, err := d.set(""); err == nil {
		if err := d.trained(set); err != nil {
			return err
		}
	}
	if err := d.lapsed(oven); err != nil {
		return err
	}
	row, err := d.bakeable(b, l, o)
	if err != nil || row == nil {
		return d.ruled(err)
	}
	return d.ruled(d.company(oven, b, l, o, row))
}

// bakeOrder reads what was asked of the oven.
func bakeOrder(e *inventory.Baked, l inventory.Lot) (o inventory.BakeOrder, err error) {
	if o.Set, err = measure.ParseTemperature(e.Set); err != nil {
		return o, inventory.FieldRefusal("set", err)
	}
	if e.Load != "" {
		if o.Load, err = measure.ParseMass(e.Load); err != nil {
			return o, inventory.FieldRefusal("load", err)
		}
	}
	o.Layers = int64(e.Layers)
	if e.Depth == "" {
		return o, nil
	}
	if o.Depth, err = measure.ParseLength(e.Depth); err != nil {
		return o, inventory.FieldRefusal("depth", err)
	}
	if o.Depth <= 0 || l.Counted() {
		return o, &inventory.Refusal{Code: inventory.Unit, Subject: "depth", Value: e.Depth,
			Why: "only flux lies at a depth, of more than nothing", Next: "give rods a number of layers"}
	}
	return o, nil
}

// bakeable returns the recipe for a load, and refuses a bake that the rule set
// does not allow.
func (d *desk) bakeable(b inventory.Bundle, l inventory.Lot, o inventory.BakeOrder) (*rules.BakeRow, error) {
	set, err := d.set("")
	if err != nil {
		return nil, err
	}
	j, err := d.judged(set, b)
	if err != nil {
		return nil, err
	}
	ref := &inventory.Refusal{Subject: b.Code, Why: j.Why, Rule: j.Ruling.Name(), Next: "scrap it: ovenward scrap " + b.Code}
	switch {
	case j.Verdict == inventory.Unruled:
		return nil, noRule(b, j)
	case j.Ruling.Recipe.Never():
		return nil, neverBake(b.Code, l, set)
	case j.Verdict == inventory.Discard && j.Spent != nil:
		ref.Code = inventory.BakesSpent
		spentBy(ref, j)
	case j.Verdict == inventory.Discard:
		ref.Code = inventory.Wet
	default:
		return d.fitsOven(b, j.Ruling, o)
	}
	return nil, ref
}

// neverBake refuses a bake of a covering that the rule set has none for.
func neverBake(subject string, l inventory.Lot, set *rules.Set) error {
	return &inventory.Refusal{Code: inventory.NeverBake, Subject: subject, Value: l.Mark.Canonical, Rule: set.ID,
		Why:  fmt.Sprintf("%s is %s, and the rule set has no bake for it", l.Mark.Canonical, l.Mark.Family),
		Next: "keep it as its maker says"}
}

func noRule(b inventory.Bundle, j exposure.Judgement) error {
	return &inventory.Refusal{Code: inventory.NoRule, Subject: b.Code, Why: j.Why,
		Next: "QA adds a row with its source to a new version of the rule set, or the stock stays in"}
}
