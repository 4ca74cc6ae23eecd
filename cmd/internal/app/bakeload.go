package app

import (
	"errors"
	"fmt"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/rules"
)

// fitsOven returns the recipe for a load, and refuses a load that it is not for. A
// set point outside of it is the oven's, and only warned of: what it was worth
// the readings will say.
func (d *desk) fitsOven(b inventory.Bundle, r rules.Ruling, o inventory.BakeOrder) (*rules.BakeRow, error) {
	if r.Recipe.Shallow() && o.Depth == 0 {
		return nil, &inventory.Refusal{Code: inventory.Unit, Subject: "depth", Rule: r.Set + "/" + r.Bake.Row, Source: r.Bake.Source,
			Why: "the time of a bake depends on how deep the flux lies", Next: "say how deep: --depth \"1 in\""}
	}
	row, err := r.Recipe.For(o)
	if err != nil {
		return nil, noRecipe(b, r, err)
	}
	if row.MaxLayers > 0 && o.Layers > row.MaxLayers {
		return nil, &inventory.Refusal{Code: inventory.TooMany, Subject: b.Code, Value: fmt.Sprint(o.Layers), Limit: fmt.Sprint(row.MaxLayers),
			Why:  fmt.Sprintf("%d layers, at most %d", o.Layers, row.MaxLayers),
			Rule: r.Set + "/" + row.Row, Source: row.Source, Next: "bake some of it in another run"}
	}
	d.advise(r, row, o)
	return row, nil
}

// noRecipe refuses a bake that no recipe is for.
func noRecipe(b inventory.Bundle, r rules.Ruling, err error) error {
	ref := &inventory.Refusal{Code: inventory.NoRule, Subject: b.Code, Why: err.Error(), Rule: r.Set,
		Next: "hold it for QA: ovenward lot hold, or another rule set"}
	if deep, ok := errors.AsType[*rules.DepthError](err); ok {
		ref.Value, ref.Limit = deep.Depth.String(), deep.Row.MaxDepth.String()
		ref.Rule, ref.Source, ref.Next = r.Set+"/"+deep.Row.Row, deep.Row.Source, "spread it thinner, in more trays or more runs"
	}
	return ref
}

// advise warns of what will make a run no bake, or a longer one, while it can
// still be put right.
func (d *desk) advise(r rules.Ruling, row *rules.BakeRow, o inventory.BakeOrder) {
	if o.Set < row.Min.Temperature || o.Set > row.Max.Temperature {
		d.warn("the set point is outside %s to %s (row %s): that is no bake", row.Min, row.Max, row.Row)
	}
	if row.MaxLayers > 0 && o.Layers == 0 {
		d.warn("row %s allows at most %d layers: say how many there are with --layers", row.Row, row.MaxLayers)
	}
	switch lag := r.Recipe.Lag(o); {
	case row.ClockFrom == rules.FromOven || lag.Row == "":
	case !lag.Known:
		d.warn("how long such a load trails the oven is not known: only a sensor in it can prove the bake")
	case lag.Length > 0:
		d.warn("the load trails the oven by %s (%s): at set point for %s in all, unless a sensor is in the load",
			lag.Length.Words(), lag.Row, (lag.Length + row.Soak).Words())
	}
}

// company looks at what is in the oven already. Maker's guides ask for one
// product and one diameter at a time; an oven has one set point, which must suit
// everything in it.
func (d *desk) company(oven inventory.Place, b inventory.Bundle, l inventory.Lot, o inventory.BakeOrder, row *rules.BakeRow) error {
	there, err := d.inside(oven)
	if err != nil {
		return err
	}
	for _, other := range there {
		if other.Code == b.Code {
			continue
		}
		lot := other.Lot
		if lot.Mark.Canonical != l.Mark.Canonical || lot.Product != l.Product || lot.Maker != l.Maker || !lot.Diameter.Near(l.Diameter) {
			d.warn("%s (%s %s) is in %s too: one product and one size in a bake oven at a time", other.Code, lot.Mark.Canonical, lot.Size, oven.Name)
		}
		if err := d.together(oven, other, o, row); err != nil {
			return err
		}
	}
	return nil
}

// together refuses a set point that spoils the bake of what is in the oven.
func (d *desk) together(oven inventory.Place, other insider, o inventory.BakeOrder, row *rules.BakeRow) error {
	set, err := d.set("")
	if err != nil {
		return err
	}
	r, err := set.Resolve(subject(other.Lot, other.Bundle))
	if err != nil || r.Bake == nil || holds(r.Bake, o.Set) {
		return nil //nolint:nilerr // stock of which no row speaks has no recipe to spoil
	}
	next := "bake them one after the other"
	if both, err := rules.Intersect(*row, *r.Bake); err == nil {
		next = fmt.Sprintf("choose a set point from %s to %s, or bake them one after the other", both.Min, both.Max)
	}
	return &inventory.Refusal{Code: inventory.CoStorage, Subject: oven.Name, Value: d.degrees(o.Set), Limit: fmt.Sprintf("%s to %s", r.Bake.Min, r.Bake.Max),
		Why:  fmt.Sprintf("%s (%s) is in it, which is baked at %s to %s", other.Code, other.Lot.Mark.Canonical, r.Bake.Min, r.Bake.Max),
		Rule: set.ID + "/" + r.Bake.Row, Source: r.Bake.Source, Next: next}
}

func holds(r *rules.BakeRow, t measure.Temperature) bool {
	return t >= r.Min.Temperature && (!r.Max.Given() || t <= r.Max.Temperature)
}

// degrees prints a temperature in the unit that the site writes.
func (v *view) degrees(t measure.Temperature) string {
	return t.In(v.settings.Units)
}
