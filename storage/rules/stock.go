package rules

import (
	"cmp"
	"slices"

	"ovenward/inventory"
	"ovenward/inventory/designation"
)

// families, packages and placeKinds are the words that rows may use.
func families() []designation.Family {
	return []designation.Family{designation.LowHydrogen, designation.Cellulosic, designation.Rutile,
		designation.IronOxide, designation.Acid, designation.Stainless, designation.SolidWire,
		designation.CoredWire, designation.SAWFlux, designation.MakerStated}
}

func packages() []inventory.Package {
	return []inventory.Package{inventory.HermeticCan, inventory.VacuumPack, inventory.Carton,
		inventory.PlasticBox, inventory.SpoolPack, inventory.FluxBag, inventory.FluxDrum, inventory.Loose}
}

func placeKinds() []inventory.PlaceKind {
	return []inventory.PlaceKind{inventory.Shelf, inventory.HoldingOven, inventory.BakeOven,
		inventory.Quiver, inventory.Feeder, inventory.Hopper}
}

// stock checks that a row names stock that exists: a misspelt word would match
// nothing, and the row would never decide.
func (c *checker) stock(row string, m *Match) {
	each(c, row, "spec", m.Spec, designation.Specs())
	each(c, row, "family", m.Family, families())
	each(c, row, "packages", m.Packages, packages())
	marks := []Presence{"", With, Without}
	known(c, row, "moisture_mark", m.MoistureMark, marks)
	known(c, row, "military", m.Military, marks)
	if r := m.StrengthKSI; r.Min < 0 || r.Max < 0 || (r.Max != 0 && r.Max < r.Min) {
		c.fault(row, "strength_ksi: max %d is below min %d", r.Max, r.Min)
	}
	for _, class := range m.Classes {
		isClass := func(k designation.Mark) bool { return k.Canonical == class }
		if !slices.ContainsFunc(designation.Candidates(class), isClass) {
			c.fault(row, "classes: %q is not a mark as the program prints it", class)
		}
	}
}

func each[T ~string](c *checker, row, name string, got, allowed []T) {
	for _, v := range got {
		known(c, row, name, v, allowed)
	}
}

func known[T ~string](c *checker, row, name string, got T, allowed []T) {
	if !slices.Contains(allowed, got) {
		c.fault(row, "%s is %q: use one of %q", name, got, slices.DeleteFunc(slices.Clone(allowed), empty))
	}
}

func empty[T ~string](v T) bool { return v == "" }

// overlaps finds rows of one kind and one authority that could both speak of
// the same stock: which of them decides would be chance.
func (c *checker) overlaps() {
	rows := c.set.rows()
	for i, a := range rows {
		for _, b := range rows[i+1:] {
			rivals := a.kind == b.kind && a.one && a.basis() == b.basis() && a.about().Authority == b.about().Authority
			if rivals && a.stock().overlaps(*b.stock()) && !a.apart(b) {
				c.fault(b.about().Row, "overlaps %s row %s: the same stock would meet both; narrow one of them",
					b.kind, a.about().Row)
			}
		}
	}
}

// gaps finds strengths between two exposure rows of which no row speaks. What
// lies outside all rows is left to the rule no-rule.
func (c *checker) gaps() {
	for _, spec := range designation.Specs() {
		for _, family := range families() {
			c.gapsOf(spec, family)
		}
	}
}

func (c *checker) gapsOf(spec designation.Spec, family designation.Family) {
	var rows []ExposureRow
	for _, r := range c.set.Exposure {
		if among(r.Spec, spec) && among(r.Family, family) && len(r.Classes) == 0 && len(r.Products) == 0 {
			rows = append(rows, r)
		}
	}
	slices.SortStableFunc(rows, func(a, b ExposureRow) int {
		return cmp.Compare(a.StrengthKSI.Min, b.StrengthKSI.Min)
	})
	for i := 1; i < len(rows); i++ {
		reach := slices.MaxFunc(rows[:i], func(a, b ExposureRow) int {
			return cmp.Compare(a.StrengthKSI.top(), b.StrengthKSI.top())
		})
		if from := reach.StrengthKSI.top(); from < rows[i].StrengthKSI.Min-1 {
			c.fault(rows[i].Row, "no row speaks of %s %s of %s between it and row %s: widen one of them",
				spec, family, Range{from + 1, rows[i].StrengthKSI.Min - 1}.words(), reach.Row)
			return
		}
	}
}

// top returns the highest strength of a range.
func (r Range) top() int {
	if r.Max == 0 {
		return int(^uint(0) >> 1)
	}
	return r.Max
}
