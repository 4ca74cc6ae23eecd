package app

import (
	"fmt"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/exposure"
)

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
