package app

import (
	"cmp"
	"context"
	"slices"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
	"ovenward/storage/exposure"
	"ovenward/storage/ovendb"
	"ovenward/storage/rules"
)

// Reach is what a check of a sensor changes in what was judged before: nothing
// that was recorded, but what it is worth.
type Reach struct {
	Sensor   ovendb.Sensor
	Check    evidence.Calibration
	Since    measure.Instant // the check before; zero: there was none
	Until    measure.Instant // what was judged later took the check into account
	Compared int             // judgements that rest on the sensor
	Changed  []Changed       // those that come out differently, in order of time
}

// Changed is a judgement that comes out differently.
type Changed struct {
	Act    Act
	At     measure.Instant
	Bundle string
	Lot    string
	Slip   string
	Joints []string // that the slip names
	Was    exposure.Judgement
	Is     exposure.Judgement

	rules string // that the slip was issued under; empty: those of the site
}

// Act is what was judged.
type Act string

// The acts.
const (
	Held     Act = "hold"
	Baked    Act = "bake"
	WentOut  Act = "issue"
	CameBack Act = "return"
	InStock  Act = "in stock"
	IsOut    Act = "out"
)

// Joints returns the joints that rods went into whose issue or return comes out
// differently, each once.
func (r Reach) Joints() []string {
	var all []string
	for _, c := range r.Changed {
		all = append(all, c.Joints...)
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// Affected returns what the check of a sensor that was made at an instant, or
// the last one made, changes. The error is a *inventory.Refusal for a sensor
// that there is not or that was never checked.
func (a *App) Affected(ctx context.Context, sensor string, at measure.Instant) (r Reach, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		s, made, err := v.checksOf(sensor)
		if err != nil {
			return err
		}
		c, err := theCheck(sensor, made, at)
		if err != nil {
			return err
		}
		r, err = v.reach(s, made, c, v.touchedBy)
		return err
	})
	return r, err
}

// theCheck returns the check that was made at an instant, or in the minute that
// begins then: a person writes no seconds. Zero is the last one.
func theCheck(sensor string, made []evidence.Calibration, at measure.Instant) (c evidence.Calibration, err error) {
	i := len(made) - 1
	for at != 0 && i >= 0 && (made[i].At < at || made[i].At >= at.Add(measure.Minute)) {
		i--
	}
	if i < 0 {
		return c, &inventory.Refusal{Code: inventory.Unknown, Subject: sensor, Why: "no such check of it was recorded",
			Next: "record it with: ovenward oven calibrate " + sensor + " --error DIFFERENCE"}
	}
	return made[i], nil
}

// WouldAffect is Affected for a check that is not recorded.
func (a *App) WouldAffect(ctx context.Context, e *inventory.Calibrated, at measure.Instant) (r Reach, err error) {
	if at == 0 {
		at = a.now()
	}
	err = a.read(ctx, 0, func(v *view) error {
		s, made, err := v.checksOf(e.Sensor)
		if err != nil {
			return err
		}
		c, err := ovendb.Check(e, at, v.dueOn)
		if err != nil {
			return err
		}
		r, err = v.reach(s, made, c, v.touchedBy)
		return err
	})
	return r, err
}

func (v *view) checksOf(sensor string) (ovendb.Sensor, []evidence.Calibration, error) {
	s, err := ovendb.FindSensor(v.ctx, v.tx, v.site, sensor)
	if err != nil {
		return s, nil, unknown("sensor", sensor, "see what is set up with: ovenward oven history OVEN", err)
	}
	made, err := ovendb.Calibrations(v.ctx, v.tx, v.site, s.Name)
	return s, made, err
}

// learnt returns when a check was entered, the view's instant for one that was
// not: until then nobody who judged knew of it.
func (v *view) learnt(sensor string, made measure.Instant) (measure.Instant, error) {
	facts, err := v.happened(made, made+1, "calibrate")
	known := measure.Instant(0)
	for _, f := range facts {
		if f.Entry.(*inventory.Calibrated).Sensor == sensor {
			known = max(known, f.Fact.Noted)
		}
	}
	if known == 0 || known > v.at {
		known = v.at
	}
	return known, err
}

// touching returns the bundles of which something may rest on a place between
// two instants.
type touching = func(p inventory.Place, from, to measure.Instant) ([]string, error)

// reach compares what was judged of some bundles with a check and without it.
func (v *view) reach(s ovendb.Sensor, made []evidence.Calibration, c evidence.Calibration, which touching) (Reach, error) {
	r := Reach{Sensor: s, Check: c}
	others := slices.DeleteFunc(slices.Clone(made), func(o evidence.Calibration) bool { return o.At == c.At })
	for _, o := range others {
		if o.At < c.At {
			r.Since = max(r.Since, o.At)
		}
	}
	var err error
	if r.Until, err = v.learnt(s.Name, c.At); err != nil {
		return r, err
	}
	was, is := v.counting(s.Name, others), v.counting(s.Name, append(slices.Clone(others), c))
	err = v.each(r, which, func(one Changed, set *rules.Set, b inventory.Bundle, h *inventory.History) error {
		r.Compared++
		was.at, is.at = one.At, one.At
		var err error
		if one.Was, err = was.judge(set, b, h, false); err != nil {
			return err
		}
		if one.Is, err = is.judge(set, b, h, false); err == nil && differ(one.Was, one.Is) {
			r.Changed = append(r.Changed, one)
		}
		return err
	})
	slices.SortStableFunc(r.Changed, func(a, b Changed) int { return cmp.Compare(a.At, b.At) })
	return r, err
}

// counting returns the view as it is if other checks of a sensor count.
func (v *view) counting(name string, list []evidence.Calibration) *view {
	then := *v
	then.places = map[string]*loaded{}
	then.checks = func(sensor string, made []evidence.Calibration) []evidence.Calibration {
		if sensor == name {
			return list
		}
		return made
	}
	return &then
}

// differ reports whether two judgements say something else to a person.
func differ(a, b exposure.Judgement) bool {
	return a.Verdict != b.Verdict || a.Least != b.Least || a.Most != b.Most || a.Bakes != b.Bakes
}
