package app

import (
	"fmt"

	"ovenward/inventory"
	"ovenward/inventory/stockdb"
	"ovenward/storage/exposure"
	"ovenward/storage/rules"
)

// baseMetals refuses stock that the base metal of a joint asks to be baked
// first.
func (d *desk) baseMetals(set *rules.Set, l inventory.Lot, b inventory.Bundle) error {
	for _, j := range d.work.joints {
		if j.BaseMetal == "" {
			continue
		}
		if err := d.baseMetal(set, j, l, b); err != nil {
			return err
		}
	}
	return nil
}

func (d *desk) baseMetal(set *rules.Set, j inventory.Joint, l inventory.Lot, b inventory.Bundle) error {
	row := set.ForBaseMetal(subject(l, b), j.BaseMetal)
	switch {
	case row == nil && !set.KnowsBaseMetal(j.BaseMetal):
		d.warn("no row of rule set %s speaks of base metal %s", set.ID, j.BaseMetal)
		return nil
	case row == nil:
		return nil
	case row.Unbaked && row.Status == rules.Memory:
		d.flag(inventory.NoRule, "row %s, which lets it go unbaked on %s, was written from memory and rests on QA's confirmation",
			row.Row, j.BaseMetal)
		return nil
	case row.Unbaked:
		return nil
	}
	n, err := d.bakedBy(set, b, row.Bake())
	if err != nil || n > 0 {
		return err
	}
	recipe := fmt.Sprintf("%s at %s to %s", row.Soak.Words(), row.Min, row.Max)
	return d.answered(rules.Refused, &inventory.Refusal{Code: inventory.FirstBake, Subject: b.Code, Value: "not baked so", Limit: recipe,
		Why:  fmt.Sprintf("%s on %s, joint %s, is baked before use: %s", l.Mark.Canonical, j.BaseMetal, j.Joint, recipe),
		Rule: set.ID + "/" + row.Row, Source: row.Source, Next: "bake it: ovenward bake " + b.Code + " --place OVEN --set TEMPERATURE"})
}

// bakedBy returns how many valid bakes by a recipe every one of the rods was in,
// whatever the recipe for their class is. Baked rods that unbaked ones were joined
// to prove nothing of those.
func (d *desk) bakedBy(set *rules.Set, b inventory.Bundle, recipe *rules.BakeRow) (int64, error) {
	by := *set
	by.Bake = []rules.BakeRow{*recipe}
	judge := d.judged
	if b.Place.Kind == inventory.BakeOven {
		judge = d.takenOut
	}
	j, err := judge(&by, b)
	return j.EveryRod, err
}

// carries refuses what the welder should not carry: a second filler, and more
// than can be used in time.
func (d *desk) carries(set *rules.Set, e *inventory.Issued, l inventory.Lot, b inventory.Bundle, j exposure.Judgement) error {
	if err := d.oneFiller(set, e, l); err != nil {
		return err
	}
	return d.issueSize(set, e, l, b, j)
}

// oneFiller refuses a second class while another is out with the welder. More
// of the same is no second filler.
func (d *desk) oneFiller(set *rules.Set, e *inventory.Issued, l inventory.Lot) error {
	if !set.Issue.OneFiller {
		return nil
	}
	out, err := stockdb.OutWith(d.ctx, d.tx, d.site, e.Welder, d.at)
	if err != nil {
		return err
	}
	for _, s := range out {
		other, err := d.lot(s.Lot)
		if err != nil {
			return err
		}
		if other.Mark.Spec == l.Mark.Spec && other.Mark.Canonical == l.Mark.Canonical {
			continue
		}
		return d.answered(rules.Refused, &inventory.Refusal{Code: inventory.SecondFiller, Subject: e.Welder, Value: l.Mark.Canonical,
			Limit: other.Mark.Canonical, Rule: set.ID + "/issue.one_filler",
			Why:  fmt.Sprintf("%s has %s out on slip %s; one filler at a time", e.Welder, other.Mark.Canonical, s.Code),
			Next: "take the other filler back first: ovenward return " + s.Code})
	}
	return nil
}

// issueSize refuses more rods than the welder can burn before they are due.
func (d *desk) issueSize(set *rules.Set, e *inventory.Issued, l inventory.Lot, b inventory.Bundle, j exposure.Judgement) error {
	if !l.Counted() {
		return nil
	}
	left := j.Limit
	if left > 0 {
		left = max(left-j.Most, 1) // at the limit nothing is left, which is not the same as no limit
	}
	c, ok := set.Cap(subject(l, b), l.Diameter, left)
	if !ok || int64(e.Pieces) <= c.Rods {
		return nil
	}
	offer := fmt.Sprintf("hand out %d; the rest goes out on the next slip", c.Rods)
	if c.Rods == 0 {
		offer = "offer another bundle: hardly any time is left for this one"
	}
	return d.answered(set.Issue.TooMany, &inventory.Refusal{Code: inventory.TooMany, Subject: b.Code, Value: fmt.Sprint(e.Pieces),
		Limit: fmt.Sprint(c.Rods), Rule: c.Rule, Source: c.Source, Next: offer,
		Why: fmt.Sprintf("%s asked for; one welder burns %d in %s, at %d an hour", inventory.Rods(int64(e.Pieces)), c.Rods, c.Hours.Words(), c.Rate)})
}
