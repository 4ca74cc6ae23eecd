package app

import (
	"context"
	"fmt"
	"strings"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
	"ovenward/storage/ovendb"
)

// surprise is a check of a sensor that found another error than was known.
type surprise struct {
	sensor  ovendb.Sensor
	made    []evidence.Calibration // all checks of the sensor
	check   evidence.Calibration
	settled measure.Instant // when QA decided about all that it touches; zero: not yet
}

// surprises returns the checks that were made by the view's instant and found
// another error than was known, in the order of the sensors.
func (v *view) surprises() ([]surprise, error) {
	sensors, err := ovendb.Sensors(v.ctx, v.tx, v.site, "")
	if err != nil {
		return nil, err
	}
	var list []surprise
	for _, s := range sensors {
		made, err := ovendb.Calibrations(v.ctx, v.tx, v.site, s.Name)
		if err != nil {
			return nil, err
		}
		for i, c := range made {
			if c.At <= v.at && surprising(made[:i], c) {
				list = append(list, surprise{sensor: s, made: made, check: c})
			}
		}
	}
	if len(list) == 0 {
		return nil, nil
	}
	return list, v.settle(list)
}

// settle fills in when QA decided about what checks touch.
func (v *view) settle(list []surprise) error {
	facts, err := v.happened(0, v.at+1, "settle")
	for _, f := range facts {
		e := f.Entry.(*inventory.Settled)
		for i, s := range list {
			if s.settled == 0 && s.sensor.Name == e.Sensor && s.check.At == e.Made {
				list[i].settled = f.Fact.At
			}
		}
	}
	return err
}

// surprising reports whether a check found another error than was known.
func surprising(before []evidence.Calibration, c evidence.Calibration) bool {
	known := measure.Temperature(0)
	if n := len(before); n > 0 {
		known = before[n-1].Error
	}
	return c.HasFound && c.Found != known
}

// doubts returns what the checks that QA has not settled change in what was
// judged of some bundles.
func (v *view) doubts(which touching) ([]Reach, error) {
	list, err := v.surprises()
	if err != nil {
		return nil, err
	}
	var all []Reach
	for _, s := range list {
		if s.settled != 0 {
			continue
		}
		r, err := v.reach(s.sensor, s.made, s.check, which)
		if err != nil {
			return nil, err
		}
		if len(r.Changed) > 0 {
			all = append(all, r)
		}
	}
	return all, nil
}

// Doubts returns what the checks that QA has not settled by an instant change in
// what was judged before them. Zero is now.
func (a *App) Doubts(ctx context.Context, at measure.Instant) (list []Reach, err error) {
	err = a.read(ctx, at, func(v *view) error {
		list, err = v.doubts(v.touchedBy)
		return err
	})
	return list, err
}

// settled takes QA's disposition of all that a wrong sensor touched. Two people
// stand behind it, as behind every disposition.
func (d *desk) settled(e *inventory.Settled) error {
	s, made, err := d.checksOf(e.Sensor)
	if err != nil {
		return err
	}
	e.Sensor = s.Name
	c, err := d.meant(e, made)
	if err != nil {
		return err
	}
	e.Made, e.Check = c.At, c.At.In(d.zone)
	unknown := &inventory.Refusal{Code: inventory.Unknown, Subject: e.Sensor, Value: e.Disposition}
	switch {
	case e.Disposition != inventory.AcceptDoubt && e.Disposition != inventory.RejectDoubt:
		unknown.Why = fmt.Sprintf("unknown disposition %q of what a sensor touched", e.Disposition)
		unknown.Next = "use accept where joints and stock stand as they are, reject where joints are to be examined or repaired"
		return unknown
	case strings.TrimSpace(e.Why) == "":
		unknown.Subject, unknown.Why, unknown.Next = "why", "a disposition without a reason proves nothing", "say why"
		return unknown
	case e.Proposer == "" || e.Proposer == d.by:
		return &inventory.Refusal{Code: inventory.SamePerson, Subject: e.Sensor, Value: d.by,
			Why: "who proposes a disposition does not approve it", Next: "have another person with authority record it, with --proposer naming who proposed it"}
	case d.happened:
		return nil
	}
	r, err := d.reach(s, made, c, d.touchedBy)
	if err == nil && len(r.Changed) == 0 {
		unknown.Value = e.Check
		unknown.Why = fmt.Sprintf("the check of %s changes nothing that was judged before it", e.Check)
		unknown.Next = "see what its checks change with: ovenward oven affected " + e.Sensor
		return unknown
	}
	return err
}

// meant is the check that a disposition is about: the one named, or the last one
// made by then.
func (d *desk) meant(e *inventory.Settled, made []evidence.Calibration) (c evidence.Calibration, err error) {
	n := 0
	for n < len(made) && made[n].At <= d.at {
		n++
	}
	at := measure.Instant(0)
	if e.Check != "" {
		if at, err = ParseInstant(e.Check, d.zone); err != nil {
			return c, inventory.FieldRefusal("check", err)
		}
	}
	return theCheck(e.Sensor, made[:n], at)
}
