package app

import (
	"cmp"
	"errors"
	"maps"
	"slices"

	"ovenward/alerts/alarm"
	"ovenward/alerts/alarmdb"
	"ovenward/inventory"
	"ovenward/inventory/ledger"
	"ovenward/inventory/ledgerdb"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
	"ovenward/storage/rules"
)

// watching is one look of the watch at a site: from where the last one left off
// to the view's instant.
type watching struct {
	*view
	mark     alarmdb.Mark // where the last look left off
	now      alarmdb.Mark // where this one leaves off
	standing []alarmdb.Alarm
	set      *rules.Set // in force at the site; nil: none

	catalogue alarm.Catalogue

	live   []inventory.Bundle         // what is not used up
	from   map[string]measure.Instant // since when a bundle is to be looked at
	late   map[string]bool            // bundles of which a fact was entered late since the last look
	moved  map[string]measure.Instant // when the last day of a lot was moved, by a fact since the last look
	rods   []*watched
	heated []*watchedPlace
	ovens  *ovens
	found  []alarm.Condition
	hushed []alarm.Condition // by a planned shutdown
	index  map[alarm.Key]int // of found
}

// watch looks at everything that may have begun or ceased since the last look.
func (v *view) watch() (*watching, error) {
	w := &watching{view: v, from: map[string]measure.Instant{}, late: map[string]bool{}, moved: map[string]measure.Instant{}, index: map[alarm.Key]int{}}
	for _, step := range []func() error{w.begin, w.candidates, w.load, w.places, w.judge, w.stores, w.shelves, w.unpapered, w.sensors, w.checked} {
		if err := step(); err != nil {
			return nil, err
		}
	}
	w.afterwards()
	slices.SortStableFunc(w.found, func(a, b alarm.Condition) int {
		return cmp.Or(cmp.Compare(a.Since, b.Since), cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Subject, b.Subject))
	})
	return w, nil
}

// begin reads where the last look left off. A clock that was set back looks at
// the same instant again.
func (w *watching) begin() (err error) {
	if w.mark, err = alarmdb.Watched(w.ctx, w.tx, w.site); err != nil {
		return err
	}
	w.at = max(w.at, w.mark.At)
	head, err := ledgerdb.Head(w.ctx, w.tx, w.site)
	if err != nil {
		return err
	}
	w.now = alarmdb.Mark{At: w.at, Seq: head.Seq}
	if w.standing, err = alarmdb.Standing(w.ctx, w.tx, w.site); err != nil {
		return err
	}
	if w.catalogue, err = alarmdb.Catalogue(w.ctx, w.tx, w.site); err != nil {
		return err
	}
	w.ovens = newOvens(w.view)
	w.set, err = w.setFor(inventory.Bundle{}, "")
	return err
}

// candidates notes which bundles to look at and since when: those that are open
// and not used up, those that the facts since the last look speak of, and those
// with an alarm that stands.
func (w *watching) candidates() error {
	var err error
	if w.live, err = stockdb.Live(w.ctx, w.tx, w.site); err != nil {
		return err
	}
	for _, b := range w.live {
		if !b.Sealed {
			w.note(b.Code, w.mark.At)
		}
	}
	for _, a := range w.standing {
		w.note(a.Subject, w.mark.At)
		apart, err := stockdb.SlipBundles(w.ctx, w.tx, w.site, a.Subject)
		if err != nil {
			return err
		}
		for _, b := range apart {
			w.note(b.Code, w.mark.At)
		}
	}
	return w.touched()
}

func (w *watching) note(bundle string, from measure.Instant) {
	if have, ok := w.from[bundle]; !ok || from < have {
		w.from[bundle] = from
	}
}

// touched notes the bundles that the facts since the last look speak of. A fact
// entered late is looked at from right before it happened; a correction also
// from before what it corrects was thought to have happened.
func (w *watching) touched() error {
	return ledgerdb.Each(w.ctx, w.tx, w.site, w.mark.Seq, func(f ledger.Fact) error {
		from := min(f.At-1, w.mark.At)
		facts := []ledger.Fact{f}
		for f.Supersedes != "" {
			old, err := ledgerdb.ByID(w.ctx, w.tx, w.site, f.Supersedes)
			if err != nil {
				return err
			}
			from = min(from, old.At-1)
			facts, f = append(facts, old), old
		}
		for _, f := range facts {
			e, err := inventory.DecodeEntry(f.Kind, f.Body)
			if err != nil {
				return err
			}
			for _, code := range names(e) {
				w.note(code, from)
				w.late[code] = w.late[code] || from < w.mark.At
			}
			if lot, moves := movesLastDay(e); moves {
				w.moved[lot] = f.At
			}
		}
		return nil
	})
}

// lotFrom returns since when a lot is looked at: an alarm that stands for it may
// have ceased before the last look by a fact that was entered after it.
func (w *watching) lotFrom(lot string) measure.Instant {
	from := w.mark.At
	for _, a := range w.standing {
		if a.Subject == lot && a.Kind.OfLot() {
			from = min(from, a.Since-1)
		}
	}
	return from
}

// load reads the candidates' histories. A name that is no bundle, or is one no
// more after a correction, is passed over.
func (w *watching) load() error {
	for _, code := range slices.Sorted(maps.Keys(w.from)) {
		b, err := stockdb.Bundle(w.ctx, w.tx, w.site, code)
		if ignoreMissing(err) != nil {
			return err
		}
		if err != nil || b.Born > w.at {
			continue
		}
		r, err := w.watched(b, w.from[code])
		if err != nil {
			return err
		}
		if r != nil {
			w.rods = append(w.rods, r)
		}
	}
	return nil
}

// ruling returns what the rule set in force for a bundle says of it; false
// where none does, or where no clock runs for it.
func (w *watching) ruling(b inventory.Bundle) (rules.Ruling, bool, error) {
	set, err := w.setFor(b, "")
	if err != nil || set == nil {
		return rules.Ruling{}, false, err
	}
	l, err := w.lot(b.Lot)
	if err != nil {
		return rules.Ruling{}, false, err
	}
	if l.Status == inventory.PracticeStock {
		return practiceRuling(set), false, nil
	}
	r, err := set.Resolve(subject(l, b))
	if _, ok := errors.AsType[*inventory.Refusal](err); ok {
		return r, false, nil
	}
	return r, err == nil && r.Clocked(), err
}

// judge follows the rods and then the places, whose alarms say how long the
// rods in them have left.
func (w *watching) judge() error {
	if err := w.ovens.load(); err != nil {
		return err
	}
	for _, r := range w.rods {
		w.see(r.Conditions(r.from, w.at, w.standingFor(r)...))
	}
	w.judgePlaces()
	return nil
}

// standingFor returns the alarms that stand for some rods, or for the slip that
// they were out on.
func (w *watching) standingFor(r *watched) []alarm.Key {
	var keys []alarm.Key
	for _, a := range w.standing {
		if a.Kind.OfPlace() || a.Kind.OfLot() || a.Kind.OfSensor() {
			continue
		}
		if a.Subject == r.Bundle.Code || (r.Slip.Code != "" && a.Subject == r.Slip.Code) {
			keys = append(keys, a.Key())
		}
	}
	return keys
}

// see adds what was found. Rods that were set apart from others of their slip
// share its alarms: one stands as long as it does for any of them.
func (w *watching) see(found []alarm.Condition) {
	for _, c := range found {
		c = w.catalogue.Apply(c)
		i, seen := w.index[c.Key()]
		switch {
		case !seen:
			w.index[c.Key()] = len(w.found)
			w.found = append(w.found, c)
		case c.Until == 0:
			w.found[i] = c
		case w.found[i].Until != 0:
			w.found[i].Until = max(w.found[i].Until, c.Until)
		}
	}
}
