package demand

import (
	"fmt"
	"slices"

	"ovenward/forecast/joint"
	"ovenward/forecast/metal"
)

// notes says what the numbers stand on and what they leave out.
func (t *tally) notes(f Forecast) []string {
	notes := []string{
		"pieces are rounded up once for each week and item, not for each joint",
		t.allowances.note(),
		"not in it: fit-up other than drawn, oversize welds, melt-in to backing, root reinforcement, tacks",
	}
	if n := t.caps[joint.NoCap]; n > 0 {
		notes = append(notes, fmt.Sprintf("lines of the plan without cap_height, filled flush: %d", n))
	}
	if n := t.caps[joint.GrooveCap]; n > 0 {
		notes = append(notes,
			fmt.Sprintf("lines of the plan without cap_width, the cap as wide as the groove, no overlap: %d", n))
	}
	for _, i := range f.Items {
		notes = append(notes, i.Rod.Describe())
		if c, base := i.Rod.Item.Class, metal.BaseClass(i.Rod.Item.Class); base != c {
			notes = append(notes, fmt.Sprintf("%s: rows of %s where %s has none of its own", i.Rod.Item, base, c))
		}
	}
	return append(append(notes, densityNote(f.Items)...), memoryNotes(f.Items)...)
}

func (a Allowances) note() string {
	return fmt.Sprintf("allowances: repair %g %%, handling %g %%", a.Repair*100, a.Handling*100)
}

// densityNote warns when items were computed with different densities.
func densityNote(items []Total) []string {
	items = slices.DeleteFunc(slices.Clone(items), func(t Total) bool { return t.Rod.Density == (metal.Density{}) }) // flux
	for _, i := range items {
		if i.Rod.Density != items[0].Rod.Density {
			return []string{fmt.Sprintf("densities differ: %s for %s, %s for %s; each mass is by its own item's",
				items[0].Rod.Density, items[0].Rod.Item, i.Rod.Density, i.Rod.Item)}
		}
	}
	return nil
}

// memoryNotes names each table row that was used and is not confirmed, once.
func memoryNotes(items []Total) []string {
	var notes []string
	seen := make(map[metal.Row]bool)
	for _, i := range items {
		for _, r := range i.Rod.Rows {
			if r.Status != joint.Memory || seen[r] {
				continue
			}
			seen[r] = true
			notes = append(notes,
				fmt.Sprintf("from memory, confirm it: %s of %s, %s (%s)", r.Table, r.Key, r.Value, r.Source))
		}
	}
	return notes
}
