package app

import (
	"context"
	"errors"
	"slices"
	"strings"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
	"ovenward/storage/evidence"
	"ovenward/storage/ovendb"
	"ovenward/storage/rules"
)

// usualOver is the time over which a place shows what temperature it keeps.
const usualOver = 7 * measure.Day

// OvenLook is a heated place with the temperature that it keeps, and the stock of
// the site that it cannot keep at that.
type OvenLook struct {
	Place   inventory.Place
	Sensors []string
	Last    evidence.Reading // the newest of the last week
	Usual   measure.Temperature
	Read    bool // there was a reading in the last week; else there are neither
	Unfit   []Unfit
}

// Unfit is a class that a place is no storage for.
type Unfit struct {
	Class   string
	Finding evidence.Finding
	Asked   string
	Rule    string
	Source  string
}

// Ovens returns the heated places of the site by their names.
func (a *App) Ovens(ctx context.Context) (list []OvenLook, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		list = nil
		places, err := ovendb.Places(ctx, v.tx, v.site)
		if err != nil {
			return err
		}
		kept, err := v.stockRulings()
		if err != nil {
			return err
		}
		for _, p := range places {
			if !p.Kind.Heated() {
				continue
			}
			l, err := v.ovenLook(p, kept)
			if err != nil {
				return err
			}
			list = append(list, l)
		}
		slices.SortFunc(list, func(a, b OvenLook) int { return strings.Compare(a.Place.Name, b.Place.Name) })
		return nil
	})
	return list, err
}

func (v *view) ovenLook(p inventory.Place, kept map[string]rules.Ruling) (l OvenLook, err error) {
	l.Place = p
	sensors, err := ovendb.Sensors(v.ctx, v.tx, v.site, p.Name)
	if err != nil {
		return l, err
	}
	for _, s := range sensors {
		l.Sensors = append(l.Sensors, s.Name)
	}
	read, err := v.readings(p.Name, v.at.Add(-usualOver), v.at)
	if err != nil {
		return l, err
	}
	if l.Usual, l.Read = read.Usual(v.at.Add(-usualOver), v.at); !l.Read {
		return l, nil
	}
	l.Last, _ = read.Last()
	for class, r := range kept {
		if u, bad := noStorage(p.Kind, class, r, l.Usual); bad {
			l.Unfit = append(l.Unfit, u)
		}
	}
	slices.SortFunc(l.Unfit, func(a, b Unfit) int { return strings.Compare(a.Class, b.Class) })
	return l, nil
}

// stockRulings returns what the rule set in force says of each class of which the
// site has stock.
func (v *view) stockRulings() (map[string]rules.Ruling, error) {
	set, err := v.setFor(inventory.Bundle{}, "")
	if set == nil || err != nil {
		return nil, err
	}
	live, err := stockdb.Live(v.ctx, v.tx, v.site)
	if err != nil {
		return nil, err
	}
	of := map[string]rules.Ruling{}
	for _, b := range live {
		l, err := v.lot(b.Lot)
		if err != nil {
			return nil, err
		}
		if _, known := of[l.Mark.Canonical]; known {
			continue
		}
		r, err := set.Resolve(subject(l, b))
		if _, unruled := errors.AsType[*inventory.Refusal](err); unruled {
			continue
		}
		if err != nil {
			return nil, err
		}
		of[l.Mark.Canonical] = r
	}
	return of, nil
}

// noStorage says what is wrong with a temperature for a class in a holding oven or a
// quiver. A bake oven is hot when it bakes.
func noStorage(k inventory.PlaceKind, class string, r rules.Ruling, t measure.Temperature) (Unfit, bool) {
	u := Unfit{Class: class}
	switch {
	case k == inventory.HoldingOven && r.Hold != nil:
		u.Finding = r.Hold.Band().Shows(t)
		u.Asked, u.Rule, u.Source = r.Hold.Range(), r.Set+"/"+r.Hold.Row, r.Hold.Source
	case k == inventory.Quiver && r.Quiver != nil:
		u.Finding = evidence.Band{Min: r.Quiver.Min.Temperature}.Shows(t)
		u.Asked, u.Rule, u.Source = r.Quiver.Min.String()+" or more", r.Set+"/"+r.Quiver.Row, r.Quiver.Source
	}
	return u, u.Finding != evidence.InRange
}

// offTemperature warns who puts stock into a holding oven that shows another
// temperature than its row asks.
func (d *desk) offTemperature(set *rules.Set, l inventory.Lot, b inventory.Bundle, s stow) error {
	if s.into.Kind != inventory.HoldingOven || b.Sealed {
		return nil
	}
	r, err := set.Resolve(subject(l, b))
	switch _, unruled := errors.AsType[*inventory.Refusal](err); {
	case unruled:
		return nil
	case err != nil || r.Hold == nil:
		return err
	}
	read, err := d.readings(s.into.Name, d.at.Add(-set.Evidence.MaxGap), d.at)
	if err != nil {
		return err
	}
	last, ok := read.Last()
	if !ok {
		return nil
	}
	if u, bad := noStorage(s.into.Kind, l.Mark.Canonical, r, last.Temp); bad {
		d.warn("%s is %s for %s: it was read at %s at %s, asked is %s; there the clock runs on [rule %s; %s]", s.into.Name, u.Finding,
			u.Class, last.Temp.InBoth(d.words().Units), last.At.Clock(d.zone, d.at), u.Asked, u.Rule, u.Source)
	}
	return nil
}
