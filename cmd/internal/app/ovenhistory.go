package app

import (
	"context"
	"slices"
	"strings"

	"ovenward/inventory"
	"ovenward/inventory/designation"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
	"ovenward/storage/evidence"
	"ovenward/storage/ovendb"
	"ovenward/storage/rules"
)

// OvenHistory is what the readings of a heated place show over a time, by what
// the rule set in force asks of it for low-hydrogen rods.
type OvenHistory struct {
	Place     inventory.Place
	From, To  measure.Instant
	Asked     Asked
	Gap       measure.Duration   // readings further apart prove nothing
	Units     measure.UnitSystem // that the site shows
	Sensors   []string
	Stretches []Stretch // without gaps, in order of time

	Shown     []evidence.Shown  // by each sensor, for who would rather look
	Occupants []Occupant        // opened bundles that were in it at any time
	Off       []ovendb.Shutdown // planned
	Shares    []ovendb.Share    // from where its readings came
	Flagged   []ovendb.Flagged  // values that came in and prove nothing
}

// Asked is the range that a rule set asks of a place, with the rows that ask.
type Asked struct {
	evidence.Band
	Set      string
	Rows     []string
	Sources  []string
	Min, Max string // as the rows write them; empty: none
}

// Stretch is a time in which a place was in range, too cold, too hot, or not
// proven to be anything, with the extremes of its readings.
type Stretch struct {
	evidence.Span
	Low, High measure.Temperature
	Read      bool       // there were readings; else there are no extremes
	Inside    []Occupant // what was in the place, opened, while it was not in range
}

// Occupant is a bundle that was in a place.
type Occupant struct {
	Bundle string
	Lot    string
	Class  string
	From   measure.Instant // of its stay
	To     measure.Instant // zero while it lasts
}

// OvenHistory returns what a heated place went through from one instant to
// another. A zero from is its first reading, a zero to is now. The error is a
// *inventory.Refusal for a place that there is not, that is not heated, or of
// which no rule asks anything.
func (a *App) OvenHistory(ctx context.Context, place string, from, to measure.Instant) (h OvenHistory, err error) {
	if to == 0 {
		to = a.now()
	}
	err = a.read(ctx, to, func(v *view) error {
		h, err = v.ovenHistory(place, from, to)
		return err
	})
	return h, err
}

func (v *view) ovenHistory(name string, from, to measure.Instant) (h OvenHistory, err error) {
	h.From, h.To = from, to
	if h.Place, err = v.place(name); err != nil {
		return h, err
	}
	set, err := v.set("")
	if err != nil {
		return h, err
	}
	if h.Asked, err = askedOf(set, h.Place); err != nil {
		return h, err
	}
	h.Gap, h.Units = set.Evidence.MaxGap, v.settings.Units
	if err := v.sensorsOf(&h); err != nil || h.From >= h.To {
		return h, err
	}
	readings, err := v.readings(h.Place.Name, h.From.Add(-h.Gap), h.To.Add(h.Gap))
	if err != nil {
		return h, err
	}
	if h.Occupants, err = v.occupants(h); err != nil {
		return h, err
	}
	if h.Off, err = ovendb.Shutdowns(v.ctx, v.tx, v.site, h.Place.Name, h.From, h.To); err != nil {
		return h, err
	}
	if err := v.came(&h); err != nil {
		return h, err
	}
	h.Shown = readings.Shown(h.From, h.To)
	for _, s := range readings.Between(h.Asked.Band, h.Gap, h.From, h.To) {
		st := Stretch{Span: s}
		if s.Finding != evidence.Unproven || s.Reason == evidence.CalibrationDue {
			st.Low, st.High, st.Read = readings.Extremes(s.From, s.To)
		}
		if s.Finding != evidence.InRange {
			st.Inside = during(h.Occupants, s)
		}
		h.Stretches = append(h.Stretches, st)
	}
	return h, nil
}

// came adds from where the readings came, and what came that is none.
func (v *view) came(h *OvenHistory) (err error) {
	for _, sensor := range h.Sensors {
		list, err := ovendb.Shares(v.ctx, v.kept(), v.site, sensor, h.From, h.To)
		if err != nil {
			return err
		}
		h.Shares = append(h.Shares, list...)
	}
	h.Flagged, err = ovendb.FlaggedAt(v.ctx, v.kept(), v.site, h.Place.Name, h.From, h.To)
	return err
}

// sensorsOf names the sensors at the place, and begins the history at their
// first reading where nothing else is asked for.
func (v *view) sensorsOf(h *OvenHistory) error {
	sensors, err := ovendb.Sensors(v.ctx, v.tx, v.site, h.Place.Name)
	if err != nil {
		return err
	}
	var earliest measure.Instant
	for _, s := range sensors {
		h.Sensors = append(h.Sensors, s.Name)
		first, err := ovendb.FirstFrom(v.ctx, v.kept(), v.site, s.Name, 0)
		if err != nil {
			return err
		}
		if first != 0 && (earliest == 0 || first < earliest) {
			earliest = first
		}
	}
	if h.From == 0 {
		h.From = min(earliest, h.To)
		if earliest == 0 {
			h.From = h.To
		}
	}
	return nil
}

// occupants returns the opened bundles that were in the place.
func (v *view) occupants(h OvenHistory) ([]Occupant, error) {
	stays, err := stockdb.Heated(v.ctx, v.tx, v.site, h.From, h.To)
	if err != nil {
		return nil, err
	}
	var list []Occupant
	for _, c := range stays {
		if c.Stay.Sealed || c.Stay.Place != h.Place {
			continue
		}
		b, err := stockdb.Bundle(v.ctx, v.tx, v.site, c.Bundle)
		if err != nil {
			return nil, err
		}
		l, err := v.lot(b.Lot)
		if err != nil {
			return nil, err
		}
		list = append(list, Occupant{Bundle: b.Code, Lot: l.Code, Class: l.Mark.Canonical,
			From: c.Stay.From, To: c.Stay.To})
	}
	return list, nil
}

// during returns who of the occupants was there in a stretch, each bundle once.
func during(all []Occupant, s evidence.Span) (there []Occupant) {
	for _, o := range all {
		known := slices.ContainsFunc(there, func(t Occupant) bool { return t.Bundle == o.Bundle })
		if !known && o.From < s.To && (o.To == 0 || o.To > s.From) {
			there = append(there, o)
		}
	}
	return there
}

// askedOf returns what a rule set asks of a kind of place for low-hydrogen rods:
// the narrowest of what its rows ask. Of a bake oven only the highest
// temperature can be asked at any time, because a bake begins cold.
func askedOf(set *rules.Set, p inventory.Place) (Asked, error) {
	a := Asked{Set: set.ID, Band: evidence.Band{Min: measure.AbsoluteZero}}
	switch p.Kind {
	case inventory.HoldingOven:
		for _, r := range set.Hold {
			a.ask(r.Meta, r.Match, r.Min, r.Max)
		}
	case inventory.Quiver:
		for _, r := range set.Quiver {
			a.ask(r.Meta, r.Match, r.Min, rules.Temp{})
		}
	case inventory.BakeOven:
		for _, r := range set.Bake {
			a.ask(r.Meta, r.Match, rules.Temp{}, r.Max)
		}
	default:
		return a, &inventory.Refusal{Code: inventory.NoRule, Subject: p.Name, Value: string(p.Kind),
			Why:  "a " + string(p.Kind) + " is not heated, and no rule asks for its temperature",
			Next: "name a holding oven, a quiver or a bake oven"}
	}
	if len(a.Rows) == 0 {
		return a, &inventory.Refusal{Code: inventory.NoRule, Subject: p.Name, Rule: set.ID,
			Why: "the rule set asks nothing of a " + string(p.Kind) + " for low-hydrogen rods",
			Next: "see what it says with: ovenward rules show " + set.ID +
				"; the readings alone: ovenward oven readings " + p.Name}
	}
	return a, nil
}

// ask narrows the range by a row that speaks of low-hydrogen rods in general, not
// of some maker's or some class.
func (a *Asked) ask(m rules.Meta, of rules.Match, least, most rules.Temp) {
	speaks := len(of.Family) == 0 || slices.Contains(of.Family, designation.LowHydrogen)
	if !speaks || len(of.Products)+len(of.Classes) > 0 || (!least.Given() && !most.Given()) {
		return
	}
	a.Rows = append(a.Rows, m.Row)
	if !slices.Contains(a.Sources, m.Source) {
		a.Sources = append(a.Sources, m.Source)
	}
	if least.Given() && least.Temperature > a.Band.Min {
		a.Band.Min, a.Min = least.Temperature, least.Text
	}
	if most.Given() && (!a.HasMax || most.Temperature < a.Band.Max) {
		a.Band.Max, a.HasMax, a.Max = most.Temperature, true, most.Text
	}
}

// String prints the range as the rows write it: "250 F to 800 F".
func (a Asked) String() string {
	switch {
	case a.Max == "":
		return "at least " + a.Min
	case a.Min == "":
		return "at most " + a.Max
	}
	return a.Min + " to " + a.Max
}

// Name returns the rows with their set.
func (a Asked) Name() string { return a.Set + "/" + strings.Join(a.Rows, "+") }

// Total is the time that a place spent in one way.
type Total struct {
	Times     int
	All       measure.Duration
	Longest   measure.Duration
	Low, High measure.Temperature
	Read      bool
}

// Total adds up the stretches of a finding.
func (h OvenHistory) Total(f evidence.Finding) (t Total) {
	for _, s := range h.Stretches {
		if s.Finding != f {
			continue
		}
		t.Times++
		t.All += s.To.Sub(s.From)
		t.Longest = max(t.Longest, s.To.Sub(s.From))
		if s.Read && !t.Read {
			t.Low, t.High, t.Read = s.Low, s.High, true
		}
		if s.Read {
			t.Low, t.High = min(t.Low, s.Low), max(t.High, s.High)
		}
	}
	return t
}
