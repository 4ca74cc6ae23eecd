package app

import (
	"context"
	"fmt"
	"slices"

	"ovenward/alerts/alarm"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
	"ovenward/storage/ovendb"
	"ovenward/storage/rounds"
	"ovenward/storage/rules"
)

// CheckOven records that somebody looked at a heated place. A value that was
// read is stored as a reading first, where the place has one sensor or none yet.
func (a *App) CheckOven(ctx context.Context, r Request, e *inventory.OvenChecked) (Done, error) {
	r.Entry = e
	if e.Value == "" || r.DryRun {
		return a.Record(ctx, r)
	}
	t, err := measure.ParseTemperature(e.Value)
	if err != nil {
		return Done{}, inventory.FieldRefusal("value", err)
	}
	if r.At == 0 {
		r.At = a.now()
	}
	several, err := a.several(ctx, e.Place)
	if err != nil {
		return Done{}, err
	}
	if !several {
		if _, err := a.Read(ctx, r.By, e.Value, ovendb.Reading{Sensor: e.Place, At: r.At, Temp: t}, false); err != nil {
			return Done{}, err
		}
	}
	done, err := a.Record(ctx, r)
	if several && err == nil {
		done.Warnings = append(done.Warnings, e.Place+" has several sensors: what the check read is kept with it and is no reading; "+
			"name the sensor with: ovenward oven read SENSOR TEMPERATURE")
	}
	return done, err
}

// several reports whether a place has more than one sensor.
func (a *App) several(ctx context.Context, place string) (several bool, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		if _, err := v.heatedPlace(place); err != nil {
			return err
		}
		list, err := ovendb.Sensors(ctx, v.tx, a.Site, place)
		several = len(list) > 1
		return err
	})
	return several, err
}

// PlaceRounds is the checks that were due at a heated place, and those that were
// made.
type PlaceRounds struct {
	Place  inventory.Place
	Every  measure.Duration
	Rule   string
	From   measure.Instant
	Rounds []rounds.Round
	Made   []ovendb.Checked
}

// Count returns how many of the checks that were due ended so.
func (p PlaceRounds) Count(s rounds.State) int {
	n := 0
	for _, r := range p.Rounds {
		if r.State == s {
			n++
		}
	}
	return n
}

// OvenChecks returns the checks that were due between two instants at one heated
// place, or at every holding oven for an empty name. A zero from is the first
// reading or check, a zero to is now. The error is a *inventory.Refusal where
// the rule set in force asks for no checks.
func (a *App) OvenChecks(ctx context.Context, name string, from, to measure.Instant) (list []PlaceRounds, err error) {
	err = a.read(ctx, to, func(v *view) error {
		set, err := v.set("")
		if err != nil {
			return err
		}
		if set.Oven.Every == 0 {
			return &inventory.Refusal{Code: inventory.NoRule, Subject: "oven.check_every", Rule: set.ID,
				Why:  "the rule set in force does not say how often a person looks at an oven",
				Next: "no code read gives an interval: QA puts the shop's own into a new version of the rule set, [oven] check_every = \"8h\""}
		}
		places, err := v.toCheck(name)
		list = nil
		for _, p := range places {
			one, err := v.rounds(p, set.Oven.Every, from, v.at)
			if err != nil {
				return err
			}
			one.Rule = set.ID + "/oven.check_every"
			list = append(list, one)
		}
		return err
	})
	return list, err
}

func (v *view) toCheck(name string) ([]inventory.Place, error) {
	if name != "" {
		p, err := v.heatedPlace(name)
		return []inventory.Place{p}, err
	}
	all, err := ovendb.Places(v.ctx, v.tx, v.site)
	return slices.DeleteFunc(all, func(p inventory.Place) bool { return p.Kind != inventory.HoldingOven }), err
}

// rounds returns the checks that were due at a place. Before anything was read
// or checked there nobody can say that it was in use, and none was.
func (v *view) rounds(p inventory.Place, every measure.Duration, from, to measure.Instant) (PlaceRounds, error) {
	out := PlaceRounds{Place: p, Every: every, From: from}
	first, err := v.firstSeen(p.Name)
	if err != nil || first == 0 {
		return out, err
	}
	out.From = max(from, first)
	made, err := ovendb.ChecksOf(v.ctx, v.tx, v.site, p.Name, out.From, to)
	if err != nil {
		return out, err
	}
	off, err := v.off(p.Name, out.From, to)
	if err != nil {
		return out, err
	}
	at := make([]measure.Instant, len(made))
	for i, c := range made {
		at[i] = c.At
	}
	out.Rounds = rounds.Of(every, out.From, to, at, off)
	out.Made = slices.DeleteFunc(made, func(c ovendb.Checked) bool { return c.At < out.From })
	return out, nil
}

// firstSeen returns when a place was first read or checked, zero for never.
func (v *view) firstSeen(place string) (measure.Instant, error) {
	sensors, err := ovendb.Sensors(v.ctx, v.tx, v.site, place)
	if err != nil {
		return 0, err
	}
	var first measure.Instant
	for _, s := range sensors {
		at, err := ovendb.FirstFrom(v.ctx, v.kept(), v.site, s.Name, 0)
		if err != nil {
			return 0, err
		}
		if at != 0 && (first == 0 || at < first) {
			first = at
		}
	}
	made, err := ovendb.ChecksOf(v.ctx, v.tx, v.site, place, 0, v.at)
	if len(made) > 0 && (first == 0 || made[0].At < first) {
		first = made[0].At
	}
	return first, err
}

// off returns when a place was shut down on purpose.
func (v *view) off(place string, from, to measure.Instant) ([]evidence.Off, error) {
	list, err := ovendb.Shutdowns(v.ctx, v.tx, v.site, place, from, to)
	off := make([]evidence.Off, len(list))
	for i, s := range list {
		off[i] = s.Off
	}
	return off, err
}

// unchecked adds the checks of a holding oven that were not made in time.
func (w *watching) unchecked(p inventory.Place, from measure.Instant) error {
	if w.set.Oven.Every == 0 || p.Kind != inventory.HoldingOven {
		return nil
	}
	r, err := w.rounds(p, w.set.Oven.Every, 0, w.at)
	if err != nil {
		return err
	}
	found := alarm.Unchecked(p.Name, r.Rounds, w.words())
	w.see(slices.DeleteFunc(found, func(c alarm.Condition) bool { return c.Since <= from }))
	return nil
}

// lapsed refuses a bake, or warns of it, where no sensor of the oven is within
// its calibration date: no reading of it proves a bake.
func (d *desk) lapsed(oven inventory.Place) error {
	set, err := d.setFor(inventory.Bundle{}, "")
	if set == nil || err != nil {
		return err
	}
	sensors, err := ovendb.Sensors(d.ctx, d.tx, d.site, oven.Name)
	if err != nil || len(sensors) == 0 {
		return err
	}
	var last measure.Instant
	for _, s := range sensors {
		due, err := d.dueOf(s.Name)
		if err != nil || due == 0 || due > d.at {
			return err
		}
		last = max(last, due)
	}
	ref := &inventory.Refusal{Code: inventory.QAOnly, Subject: oven.Name, Value: d.at.In(d.zone), Limit: last.In(d.zone),
		Why:    fmt.Sprintf("its sensor is past its calibration date, %s: its readings prove no bake", last.In(d.zone)),
		Rule:   set.ID + "/oven.past_calibration",
		Next:   "bake in another oven, or have the sensor checked and record it: ovenward oven calibrate " + sensors[0].Name,
		Source: "inspection procedures: calibration validity is checked; no interval is published"}
	if set.Oven.Lapsed == rules.Refused {
		return d.ruled(ref)
	}
	if set.Oven.Lapsed == rules.Warned {
		d.warn("%s: %s; %s", oven.Name, ref.Why, ref.Next)
	}
	return nil
}

// dueOf returns when a sensor is to be checked again, zero for no date.
func (d *desk) dueOf(sensor string) (due measure.Instant, err error) {
	made, err := ovendb.Calibrations(d.ctx, d.tx, d.site, sensor)
	for _, c := range made {
		if c.At <= d.at {
			due = c.Due
		}
	}
	return due, err
}
