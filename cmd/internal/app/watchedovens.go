package app

import (
	"slices"

	"ovenward/alerts/alarm"
	"ovenward/alerts/alarmdb"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
	"ovenward/storage/evidence"
	"ovenward/storage/ovendb"
	"ovenward/storage/rules"
)

// lookBack is how far behind the last look readings are looked at again: a
// logger that is read out once a week brings them late.
const lookBack = 8 * measure.Day

// ovens are the readings of the heated places that a look needs.
type ovens struct {
	view   *view
	from   map[string]measure.Instant // since when they are needed
	loaded map[string]*alarm.Oven
}

func newOvens(v *view) *ovens {
	return &ovens{view: v, from: map[string]measure.Instant{}, loaded: map[string]*alarm.Oven{}}
}

// need asks for a place's readings since an instant. All of a place's needs
// come before it is loaded.
func (o *ovens) need(place string, from measure.Instant) {
	if have, ok := o.from[place]; !ok || from < have {
		o.from[place] = from
	}
}

// load reads what the sensors of every place that is needed showed.
func (o *ovens) load() error {
	for place, from := range o.from {
		sensors, err := ovendb.Sensors(o.view.ctx, o.view.tx, o.view.site, place)
		if err != nil {
			return err
		}
		var probes []alarm.Probe
		for _, s := range sensors {
			p, err := o.view.probe(s.Name, from)
			if err != nil {
				return err
			}
			probes = append(probes, p)
		}
		o.loaded[place] = alarm.NewOven(probes...)
	}
	return nil
}

// probe returns what a sensor showed from the last reading before an instant on.
func (v *view) probe(sensor string, from measure.Instant) (p alarm.Probe, err error) {
	before, found, err := ovendb.Latest(v.ctx, v.kept(), v.site, sensor, from)
	if err != nil {
		return p, err
	}
	if found {
		from = before.At
	}
	if p.Readings, err = ovendb.KnownReadings(v.ctx, v.kept(), v.site, sensor, from, v.at, v.known); err != nil {
		return p, err
	}
	p.Calibrations, err = ovendb.Calibrations(v.ctx, v.tx, v.site, sensor)
	return p, err
}

// watchedPlace is a heated place that the watch looks at.
type watchedPlace struct {
	alarm.Place
	from measure.Instant
	off  []evidence.Off
}

// places notes since when each heated place is looked at, with what was in it.
func (w *watching) places() error {
	if w.set == nil {
		return nil
	}
	places, err := ovendb.Places(w.ctx, w.tx, w.site)
	if err != nil {
		return err
	}
	cold, hot := w.catalogue.Of(alarm.OvenCold).Delays(), w.catalogue.Of(alarm.OvenHot).Delays()
	reach := w.set.Evidence.MaxGap + max(cold.On, hot.On) // before an alarm lies what it begins with
	before, err := alarmdb.In(w.ctx, w.tx, w.site, w.at.Add(-lookBack-reach), w.at+1)
	if err != nil {
		return err
	}
	earliest := w.at
	for _, p := range places {
		if !p.Kind.Heated() {
			continue
		}
		wp := &watchedPlace{from: w.ovenFrom(p.Name, reach, before), Place: alarm.Place{Place: p, Gap: w.set.Evidence.MaxGap, Words: w.words(),
			Cold: cold, Hot: hot}}
		if p.Kind == inventory.HoldingOven {
			wp.Idle = idleBand(w.set)
		}
		if wp.off, err = w.off(p.Name, wp.from, w.at); err != nil {
			return err
		}
		if err := w.unchecked(p, wp.from); err != nil {
			return err
		}
		earliest = min(earliest, wp.from.Add(-reach))
		w.ovens.need(p.Name, wp.from.Add(-reach))
		w.heated = append(w.heated, wp)
	}
	contents, err := stockdb.Heated(w.ctx, w.tx, w.site, earliest, w.at)
	if err != nil {
		return err
	}
	for _, c := range contents {
		if err := w.content(c); err != nil {
			return err
		}
	}
	return nil
}

// placeFrom returns since when a place is looked at: a week back, and to where
// an alarm that stands began.
func (w *watching) placeFrom(place string) measure.Instant {
	if w.mark.At == 0 {
		return 0
	}
	from := min(w.mark.At, w.at.Add(-lookBack))
	for _, a := range w.standing {
		if a.Subject == place && a.Kind.OfPlace() {
			from = min(from, a.Since-1)
		}
	}
	return from
}

// ovenFrom returns since when an oven is looked at: not from within an alarm of its
// temperature, whose beginning would be mistaken.
func (w *watching) ovenFrom(place string, reach measure.Duration, before []alarmdb.Alarm) measure.Instant {
	from := w.placeFrom(place)
	if from == 0 {
		return 0
	}
	for _, a := range slices.Backward(before) { // oldest first in the list
		heat := a.Kind == alarm.OvenCold || a.Kind == alarm.OvenHot
		if a.Subject == place && heat && a.Since >= from.Add(-lookBack) && (a.Stands() || *a.Cleared >= from.Add(-reach)) {
			from = min(from, a.Since-1)
		}
	}
	return from
}

// idleBand is what an empty holding oven must keep to be of use for anything:
// the loosest of what the rule set's holds ask for.
func idleBand(set *rules.Set) *evidence.Band {
	var loose *evidence.Band
	for i := range set.Hold {
		b := set.Hold[i].Band()
		if loose == nil {
			loose = &b
			continue
		}
		loose.Min = min(loose.Min, b.Min)
		loose.Max, loose.HasMax = max(loose.Max, b.Max), loose.HasMax && b.HasMax
	}
	return loose
}

// content adds a stay to the place where it was, if a rule asks anything of the
// place for it.
func (w *watching) content(c stockdb.Content) error {
	i := slices.IndexFunc(w.heated, func(p *watchedPlace) bool { return p.Place.Place == c.Stay.Place })
	if i < 0 || c.Stay.Sealed {
		return nil
	}
	b, err := stockdb.Bundle(w.ctx, w.tx, w.site, c.Bundle)
	if err != nil {
		return err
	}
	ruling, clocked, err := w.ruling(b)
	if err != nil || !clocked {
		return err
	}
	band, ok := asked(c.Stay, ruling)
	if ok {
		w.heated[i].Contents = append(w.heated[i].Contents, alarm.Content{Bundle: b.Code, From: c.Stay.From, To: c.Stay.To,
			Band: band, Proof: c.Stay.Place.Kind == inventory.HoldingOven})
	}
	return nil
}

// asked returns what a rule asks of a heated place while stock is in it. A bake
// begins cold, so that only its upper limit can be watched; whether it was long
// and hot enough is judged when it ends.
func asked(s inventory.Stay, r rules.Ruling) (evidence.Band, bool) {
	switch {
	case s.Place.Kind == inventory.HoldingOven && r.Hold != nil:
		return r.Hold.Band(), true
	case s.Place.Kind == inventory.Quiver && r.Quiver != nil:
		return evidence.Band{Min: r.Quiver.Min.Temperature}, true
	case s.Place.Kind == inventory.BakeOven && s.Bake != nil && r.Bake != nil && r.Bake.Max.Given():
		return evidence.Band{Min: measure.AbsoluteZero, Max: r.Bake.Max.Temperature, HasMax: true}, true
	}
	return evidence.Band{}, false
}

// judgePlaces adds what began at the places. One that stands says how long the
// rods in it have left.
func (w *watching) judgePlaces() {
	for _, p := range w.heated {
		name := p.Place.Place.Name
		p.Oven = w.ovens.loaded[name]
		found, hushed := alarm.Hush(p.Conditions(p.from, w.at), p.off, w.at)
		w.hushed = append(w.hushed, hushed...)
		for i, c := range found {
			if c.Until == 0 && (c.Kind == alarm.OvenCold || c.Kind == alarm.NoReading) {
				found[i].Due = w.firstDue(name)
			}
		}
		w.see(found)
	}
}

// firstDue returns when the first rods in a place will be past their limit,
// zero if none are on the way to it.
func (w *watching) firstDue(place string) measure.Instant {
	var first measure.Instant
	for _, r := range w.rods {
		if r.Bundle.Place.Name != place || r.Bundle.Empty() {
			continue
		}
		if due := r.Known(w.at).Due; due > w.at && (first == 0 || due < first) {
			first = due
		}
	}
	return first
}
