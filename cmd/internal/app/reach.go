package app

import (
	"cmp"
	"context"
	"slices"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
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
		i := slices.IndexFunc(made, func(c evidence.Calibration) bool { return c.At == at })
		if at == 0 {
			i = len(made) - 1
		}
		if i < 0 {
			return &inventory.Refusal{Code: inventory.Unknown, Subject: sensor, Why: "no such check of it was recorded",
				Next: "record it with: ovenward oven calibrate " + sensor + " --error DIFFERENCE"}
		}
		r, err = v.reach(s, made, made[i])
		return err
	})
	return r, err
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
		r, err = v.reach(s, made, c)
		return err
	})
	return r, err
}

func (v *view) checksOf(sensor string) (ovendb.Sensor, []evidence.Calibration, error) {
	s, err := ovendb.FindSensor(v.ctx, v.tx, v.site, sensor)
	if err != nil {
		return s, nil, unknown("sensor", sensor, "see what is set up with: ovenward oven history OVEN", err)
	}
	made, err := ovendb.Calibrations(v.ctx, v.tx, v.site, sensor)
	return s, made, err
}

// reach compares what is judged with a check and without it.
func (v *view) reach(s ovendb.Sensor, made []evidence.Calibration, c evidence.Calibration) (Reach, error) {
	r := Reach{Sensor: s, Check: c}
	others := slices.DeleteFunc(slices.Clone(made), func(o evidence.Calibration) bool { return o.At == c.At })
	for _, o := range others {
		if o.At < c.At {
			r.Since = max(r.Since, o.At)
		}
	}
	counting := func(list []evidence.Calibration) checks {
		return func(sensor string, made []evidence.Calibration) []evidence.Calibration {
			if sensor == s.Name {
				return list
			}
			return made
		}
	}
	was, is := *v, *v
	was.places, is.places = map[string]*loaded{}, map[string]*loaded{}
	was.checks, is.checks = counting(others), counting(append(slices.Clone(others), c))
	err := v.each(s.Place, r.Since, func(one Changed, set *rules.Set, b inventory.Bundle, h *inventory.History) error {
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

// differ reports whether two judgements say something else to a person.
func differ(a, b exposure.Judgement) bool {
	return a.Verdict != b.Verdict || a.Least != b.Least || a.Most != b.Most || a.Bakes != b.Bakes
}

// each calls fn with all that was judged by what a place's sensors showed since
// an instant: how a hold or a bake there ended, what went out and came back
// after it, and what is left of it.
func (v *view) each(place string, since measure.Instant,
	fn func(Changed, *rules.Set, inventory.Bundle, *inventory.History) error) error {
	p, err := v.place(place)
	if err != nil {
		return err
	}
	set, err := v.setFor(inventory.Bundle{}, "")
	if err != nil || set == nil {
		return err
	}
	codes, err := stockdb.Touched(v.ctx, v.tx, v.site, p, since, v.at)
	if err != nil {
		return err
	}
	for _, code := range codes {
		b, err := stockdb.Bundle(v.ctx, v.tx, v.site, code)
		if err != nil {
			return err
		}
		h, err := v.history(b)
		if err != nil {
			return err
		}
		acts, err := v.acts(b, h, p, since)
		if err != nil {
			return err
		}
		for _, one := range acts {
			set := set
			if one.rules != "" {
				if set, err = v.setByID(one.rules); err != nil {
					return err
				}
			}
			if err := fn(one, set, b, h); err != nil {
				return err
			}
		}
	}
	return nil
}

// acts returns when a bundle was judged since an instant, as far as that may
// rest on a place.
func (v *view) acts(b inventory.Bundle, h *inventory.History, p inventory.Place, since measure.Instant) ([]Changed, error) {
	var all []Changed
	add := func(a Act, at measure.Instant, s inventory.Slip) {
		all = append(all, Changed{Act: a, At: at, Bundle: b.Code, Lot: b.Lot, Slip: s.Code, Joints: s.Joints, rules: s.Rules})
	}
	for _, s := range h.Stays {
		if s.Returned && s.From >= since {
			slip, err := v.slipBehind(h)
			if err != nil {
				return nil, err
			}
			add(CameBack, s.From, slip)
		}
		if ended := cmp.Or(s.To, v.at); s.Place == p && !s.Sealed && s.To != 0 && ended >= since {
			act := Held
			if s.Bake != nil {
				act = Baked
			}
			add(act, ended, inventory.Slip{})
		}
	}
	slips, err := stockdb.SlipsFrom(v.ctx, v.tx, v.site, b.Lot, b.Code)
	if err != nil {
		return nil, err
	}
	for _, s := range slips {
		if s.At >= since {
			add(WentOut, s.At, s)
		}
	}
	switch {
	case b.Empty():
	case b.Slip != "":
		s, err := v.slip(b.Slip)
		if err != nil {
			return nil, err
		}
		add(IsOut, v.at, s)
	default:
		add(InStock, v.at, inventory.Slip{})
	}
	return all, nil
}

// slipBehind returns the slip that the rods of a bundle came back from.
func (v *view) slipBehind(h *inventory.History) (inventory.Slip, error) {
	for _, o := range h.Origins {
		b, err := stockdb.Bundle(v.ctx, v.tx, v.site, o.History.Bundle)
		if err != nil {
			return inventory.Slip{}, err
		}
		if b.Slip != "" {
			return stockdb.Slip(v.ctx, v.tx, v.site, b.Slip)
		}
	}
	return inventory.Slip{}, nil
}
