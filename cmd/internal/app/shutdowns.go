package app

import (
	"context"
	"fmt"

	"ovenward/alerts/alarm"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/exposure"
	"ovenward/storage/ovendb"
	"ovenward/storage/rules"
)

// Shutdown is a planned shutdown with what is in the place, and what that will
// be when it is switched on again.
type Shutdown struct {
	ovendb.Shutdown
	Inside []LeftIn
	Hushed []alarm.Condition // alarms that it was the cause of, and that were not raised
}

// LeftIn is a bundle that is in a place when it is switched off.
type LeftIn struct {
	Look                     // as it is when the shutdown begins, or now if that is earlier
	AtEnd exposure.Judgement // if it gets no heat from the beginning to the end
	Do    string             // at start-up
}

// Shutdowns returns the planned shutdowns of a heated place, or of all for an
// empty name, between two instants.
func (a *App) Shutdowns(ctx context.Context, place string, from, to measure.Instant) (list []Shutdown, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		planned, err := ovendb.Shutdowns(ctx, v.tx, a.Site, place, from, to)
		if err != nil {
			return err
		}
		w, err := v.watch()
		if err != nil {
			return err
		}
		list = nil
		for _, p := range planned {
			s := Shutdown{Shutdown: p}
			for _, c := range w.hushed {
				if c.Subject == p.Place && p.From <= c.Since && c.Since < p.To {
					s.Hushed = append(s.Hushed, c)
				}
			}
			if s.Inside, err = v.leftIn(p); err != nil {
				return err
			}
			list = append(list, s)
		}
		return nil
	})
	return list, err
}

// leftIn returns what is in a place when it is switched off.
func (v *view) leftIn(s ovendb.Shutdown) ([]LeftIn, error) {
	p, err := v.place(s.Place)
	if err != nil {
		return nil, err
	}
	then := *v
	then.at = min(s.From, v.at)
	set, err := v.setFor(inventory.Bundle{}, "")
	if err != nil || set == nil {
		return nil, err
	}
	inside, err := then.inside(p)
	if err != nil {
		return nil, err
	}
	var list []LeftIn
	for _, b := range inside {
		one := LeftIn{}
		if one.Look, err = then.look(set, b.Bundle, false); err != nil {
			return nil, err
		}
		if one.AtEnd, err = then.unheated(set, b, s); err != nil {
			return nil, err
		}
		one.Do = atStartUp(b, one.AtEnd)
		list = append(list, one)
	}
	return list, nil
}

// unheated judges a bundle as it will be after a shutdown if its place is as good
// as the open air for as long. Until it begins the place is taken to be as it was
// last: nobody has readings of the time to come.
func (v *view) unheated(set *rules.Set, b insider, s ovendb.Shutdown) (exposure.Judgement, error) {
	h, err := v.history(b.Bundle)
	if err != nil || b.Stay.Sealed {
		return exposure.Judgement{At: v.at, Verdict: inventory.Sealed}, err
	}
	outside, _ := inventory.Reserved(string(inventory.OpenAir))
	rods := &inventory.History{Bundle: b.Code, Tight: h.Tight, Born: v.at,
		Origins: []inventory.Origin{{History: h, Until: v.at}},
		Stays:   []inventory.Stay{{Place: outside, From: v.at}}}
	end := *v
	end.at = v.at.Add(s.To.Sub(s.From))
	return end.judge(set, b.Bundle, rods, false)
}

// atStartUp says what to do with rods that were in a cold oven.
func atStartUp(b insider, j exposure.Judgement) string {
	switch {
	case b.Stay.Sealed:
		return "nothing: it is sealed"
	case j.Verdict == inventory.Out && j.Ruling.Hold != nil:
		return fmt.Sprintf("hold %s at %s or more before any go out", j.Ruling.Hold.Duration.Words(), j.Ruling.Hold.Min)
	case j.Verdict == inventory.Bake:
		return "bake before use, or move it into a hot oven before the shutdown"
	case j.Verdict == inventory.Discard:
		return "lost, unless it is moved into a hot oven before the shutdown"
	case j.Verdict == inventory.Ready:
		return "nothing: no clock runs for it"
	}
	return "QA decides: " + j.Why
}
