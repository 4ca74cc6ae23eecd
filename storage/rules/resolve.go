package rules

import (
	"fmt"
	"strings"

	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// Ruling is what a rule set says of one kind of stock: the rows that decide,
// and the policies they are applied with.
type Ruling struct {
	Set     string
	Edition string
	Digest  string

	Clock    Clock
	Evidence Evidence
	Oven     Oven
	Bakes    Bakes
	Units    measure.UnitSystem
	Air      AirPolicy
	Advice   Advice

	Exposure   ExposureRow
	Hold       *HoldRow
	Recipe     Recipe      // what a load must be baked by
	Bake       *BakeRow    // the recipe of a load of which nothing is said; nil: none, or its rows contradict each other
	BakeLimits []BakeLimit // on baking; each of them must be kept
	Quiver     *QuiverRow
	Packet     *PacketRow
	Hopper     *HopperRow
	Holding    *HoldingRow
	FirstUse   *FirstUseRow
	ColumnB    *ColumnBRow

	OtherLimit measure.Duration // the tightest exposure row of another authority than that of ColumnB; zero: none
	Others     []string         // exposure rows that spoke too and were not the tightest
}

// Clocked reports whether an exposure clock runs for the stock.
func (r Ruling) Clocked() bool { return r.Exposure.Clock != NoClock }

// Limit returns the exposure limit.
func (r Ruling) Limit() measure.Duration { return r.Exposure.Limit }

// Warn returns the exposure at which the shop is warned.
func (r Ruling) Warn() measure.Duration { return Share(r.Exposure.Limit, r.Clock.WarnPercent) }

// Share returns a share of a limit in per cent.
func Share(limit measure.Duration, percent int64) measure.Duration {
	return limit/100*measure.Duration(percent) + limit%100*measure.Duration(percent)/100
}

// Name returns the deciding row with its set, "reference-running/e70".
func (r Ruling) Name() string { return r.Set + "/" + r.Exposure.Row }

// Resolve finds the rows that decide for the stock. Where several authorities
// speak the tightest limit applies. The error is a *inventory.Refusal with
// code no-rule when no exposure row matches: a limit is never guessed.
func (s *Set) Resolve(sub Subject) (Ruling, error) {
	r := Ruling{Set: s.ID, Edition: s.Edition, Digest: s.Digest,
		Clock: s.Clock, Evidence: s.Evidence, Oven: s.Oven, Bakes: s.Bakes, Units: s.UnitSystem,
		Air: s.Air, Advice: s.Advice}
	found := false
	for _, row := range s.Exposure {
		if !row.Matches(sub) {
			continue
		}
		switch {
		case !found:
			r.Exposure, found = row, true
		case tighter(row, r.Exposure):
			r.Others = append(r.Others, r.Exposure.Row)
			r.Exposure = row
		default:
			r.Others = append(r.Others, row.Row)
		}
	}
	if !found {
		return Ruling{}, s.noRule(sub)
	}
	r.Recipe = s.recipe(sub)
	r.BakeLimits = s.bakeLimits(r.Recipe)
	r.Bake, _ = r.Recipe.For(inventory.BakeOrder{}) // asked again, with its reason, where a bake is wanted
	r.FirstUse = tightest(s.FirstUse, sub, func(a, b FirstUseRow) bool { return b.Damaged && !a.Damaged })
	if r.Exposure.Clock == Elapsed {
		return r, nil // no hold, quiver or pack stops that clock
	}
	r.Hold = s.hold(sub)
	r.Quiver = tightest(s.Quiver, sub, func(a, b QuiverRow) bool { return a.Total < b.Total })
	r.Packet = tightest(s.Packet, sub, func(a, b PacketRow) bool { return a.Limit < b.Limit })
	if h := s.Hoppers(sub); h != nil && h.Limit > 0 {
		r.Hopper = h
	}
	r.Holding = tightest(s.Holding, sub, func(a, b HoldingRow) bool { return a.MaxDays < b.MaxDays })
	r.ColumnB = tightest(s.ColumnB, sub, func(a, b ColumnBRow) bool { return a.Max < b.Max })
	r.OtherLimit = s.otherLimit(sub, r.ColumnB)
	return r, nil
}

// hold returns the hold that keeps every row that speaks of the stock: the
// longest, in the narrowest range. Its name is those of all of them.
func (s *Set) hold(sub Subject) *HoldRow {
	var all *HoldRow
	for i := range s.Hold {
		switch row := s.Hold[i]; {
		case !row.Matches(sub):
		case all == nil:
			all = &row
		default:
			all.keep(row)
		}
	}
	return all
}

func (r *HoldRow) keep(o HoldRow) {
	r.Row, r.Source = r.Row+"+"+o.Row, r.Source+"; "+o.Source
	r.Duration, r.Resets, r.Cabinet = max(r.Duration, o.Duration), r.Resets && o.Resets, r.Cabinet && o.Cabinet
	if o.Min.Temperature > r.Min.Temperature {
		r.Min = o.Min
	}
	if o.Max.Given() && (!r.Max.Given() || o.Max.Temperature < r.Max.Temperature) {
		r.Max = o.Max
	}
}

// tighter reports whether a's limit is shorter than b's. A row without a clock
// is the loosest of all.
func tighter(a, b ExposureRow) bool {
	if a.Clock == NoClock || b.Clock == NoClock {
		return b.Clock == NoClock && a.Clock != NoClock
	}
	return a.Limit < b.Limit || (a.Limit == b.Limit && a.Clock == Elapsed && b.Clock != Elapsed)
}

// tightest returns the row for the stock that no other is tighter than; nil
// where none speaks of it.
func tightest[R interface{ Matches(Subject) bool }](rows []R, sub Subject, less func(a, b R) bool) *R {
	var best *R
	for i := range rows {
		if rows[i].Matches(sub) && (best == nil || less(rows[i], *best)) {
			best = &rows[i]
		}
	}
	return best
}

func (s *Set) noRule(sub Subject) error {
	names := make([]string, len(s.Exposure))
	for i, r := range s.Exposure {
		names[i] = r.Row
	}
	return &inventory.Refusal{Code: inventory.NoRule, Subject: sub.Mark.Canonical,
		Why:   fmt.Sprintf("no exposure row of rule set %s speaks of it", s.ID),
		Value: sub.Mark.Canonical, Rule: s.ID, Limit: strings.Join(names, ", "),
		Next: "QA adds a row with its source to a new version of the rule set, or the stock stays in"}
}
