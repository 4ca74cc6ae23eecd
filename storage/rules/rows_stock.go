package rules

import (
	"ovenward/inventory/measure"
)

// HopperRow limits the time of flux in an unheated hopper, and says what of an
// opened bag is not put into one.
type HopperRow struct {
	Meta
	Match
	Limit   measure.Duration `toml:"limit"`    // zero: as in any open place
	DropTop string           `toml:"drop_top"` // the depth that is thrown away of what was open before
}

// WarmUpRow keeps packs that were stored cold closed until they are as warm as
// the room: water condenses on what is colder than the air.
type WarmUpRow struct {
	Meta
	Match
	Below Temp             `toml:"below"` // a pack from a colder place is a cold one
	Wait  measure.Duration `toml:"wait"`
	Cold  Cold             `toml:"cold"` // what opening one too early meets
}

// Cold says what opening a cold pack too early meets.
type Cold string

// A cold pack is kept closed, or the person is only warned.
const (
	ColdRefused Cold = "refuse"
	ColdWarns   Cold = "warn"
)

// BlendRow limits how much recycled flux a blend has. Where several rows speak,
// a blend keeps all of them.
type BlendRow struct {
	Meta
	Match
	NewMin      int64 `toml:"new_min_percent"`      // zero: no such limit
	RecycledMax int64 `toml:"recycled_max_percent"` // zero: no such limit
}

// Blends returns the rows that a blend of some stock must keep.
func (s *Set) Blends(sub Subject) []BlendRow {
	var rows []BlendRow
	for _, r := range s.Blend {
		if r.Matches(sub) {
			rows = append(rows, r)
		}
	}
	return rows
}

// Keeps reports whether a blend keeps the row. The masses are compared whole,
// not their rounded shares.
func (r *BlendRow) Keeps(recycled, total measure.Mass) bool {
	fresh := total - recycled
	return fresh*100 >= total*measure.Mass(r.NewMin) &&
		(r.RecycledMax == 0 || recycled*100 <= total*measure.Mass(r.RecycledMax))
}

// WarmUps returns the row that keeps cold packs of some stock closed, the one
// with the longest wait; nil where none does.
func (s *Set) WarmUps(sub Subject) *WarmUpRow {
	return tightest(s.WarmUp, sub, func(a, b WarmUpRow) bool { return a.Wait > b.Wait })
}

// Hoppers returns the row for flux in a hopper; nil where none speaks of it.
func (s *Set) Hoppers(sub Subject) *HopperRow {
	return tightest(s.Hopper, sub, func(a, b HopperRow) bool { return a.Limit < b.Limit })
}
