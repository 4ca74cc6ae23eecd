package app

import (
	"ovenward/alerts/alarm"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/ovendb"
)

// stores adds what began in the stores whose air the rule set in force asks
// something of.
func (w *watching) stores() error {
	if w.set == nil || len(w.set.Climate) == 0 {
		return nil
	}
	places, err := ovendb.Places(w.ctx, w.tx, w.site)
	if err != nil {
		return err
	}
	names := []string{inventory.Store}
	for _, p := range places {
		if p.Kind == inventory.Shelf {
			names = append(names, p.Name)
		}
	}
	for _, name := range names {
		s, from, err := w.climateOf(name)
		if err != nil {
			return err
		}
		w.see(s.Conditions(from, w.at))
	}
	return nil
}

// climateOf returns a store as the watch looks at it, and since when.
func (w *watching) climateOf(name string) (alarm.Store, measure.Instant, error) {
	from := w.placeFrom(name)
	s := alarm.Store{Place: name, Words: w.words()}
	groups, err := w.climateGroups(w.set, name, from, w.at)
	if err != nil {
		return s, from, err
	}
	first := w.at
	for _, g := range groups {
		for _, k := range g.Stock {
			s.Kept = append(s.Kept, alarm.Kept{Bundle: k.Bundle, From: k.From, To: k.To, Limits: g.Limits})
			first = min(first, k.From)
		}
	}
	if len(s.Kept) == 0 {
		return s, from, nil
	}
	before, err := ovendb.LastClimate(w.ctx, w.tx, w.site, name, from)
	if err != nil {
		return s, from, err
	}
	if before == 0 {
		before = from
	}
	if s.Log, err = w.airLog(name, min(before, from), w.at); err != nil {
		return s, from, err
	}
	if w.set.Air.Daily {
		s.Days = w.days(max(from, first))
	}
	return s, from, nil
}

// days returns the ends of the days from the one before an instant to the view's.
func (w *watching) days(from measure.Instant) []measure.Instant {
	var ends []measure.Instant
	for day := measure.DateOf(from, w.zone).AddDays(-1); ; day = day.AddDays(1) {
		end := day.End(w.zone)
		if end > w.at {
			return ends
		}
		ends = append(ends, end)
	}
}
