package app

import (
	"cmp"
	"maps"
	"slices"

	"ovenward/alerts/alarm"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
	"ovenward/storage/rules"
)

// shelves adds what began for lots whose last day comes near or has passed: of
// what lies in the crib, and of what left it since the last look.
func (w *watching) shelves() error {
	if w.set == nil {
		return nil
	}
	bundles := slices.Clone(w.live)
	here := map[string]bool{}
	for _, b := range bundles {
		here[b.Code] = true
	}
	for code := range w.from {
		b, err := stockdb.Bundle(w.ctx, w.tx, w.site, code)
		if ignoreMissing(err) != nil {
			return err
		}
		if err == nil && !here[code] {
			bundles = append(bundles, b)
		}
	}
	lots := map[string][]alarm.Shelved{}
	came := map[string]measure.Instant{}
	for _, b := range bundles {
		list, err := w.shelved(lots[b.Lot], b, came)
		if err != nil {
			return err
		}
		lots[b.Lot] = list
	}
	for _, lot := range slices.Sorted(maps.Keys(lots)) {
		w.see(alarm.ShelfLife(lots[lot], w.lotFrom(lot), w.at, w.words()))
	}
	return nil
}

// movesLastDay returns the lot whose last day an entry moves.
func movesLastDay(e inventory.Entry) (lot string, moves bool) {
	switch e := e.(type) {
	case *inventory.Extended:
		return e.Lot, true
	case *inventory.Decision:
		return e.Lot, e.Until != "" && !e.Rejected
	}
	return "", false
}

// shelved adds a bundle whose last day is known, if a warning of it is due.
func (w *watching) shelved(list []alarm.Shelved, b inventory.Bundle, came map[string]measure.Instant) ([]alarm.Shelved, error) {
	if b.Slip != "" || b.Born > w.at {
		return list, nil
	}
	l, err := w.lot(b.Lot)
	if err != nil || l.Status == inventory.PracticeStock {
		return list, err
	}
	e, err := w.goodUntil(w.set, l, b)
	if err != nil || e.Last == "" {
		return list, err
	}
	first, next := w.set.Shelf.Warnings(e)
	s := alarm.Shelved{Lot: l, Last: e.Last, First: first.At(0, w.zone), Next: next.At(0, w.zone), Over: e.Last.End(w.zone)}
	if s.First > w.at {
		return list, nil
	}
	if came[l.Code] == 0 {
		if came[l.Code], err = stockdb.FirstReceived(w.ctx, w.tx, w.site, l.Code); err != nil {
			return list, err
		}
	}
	s.Known = came[l.Code]
	if err := w.lain(&s, e, b); err != nil {
		return list, err
	}
	return append(list, s), nil
}

// lain adds until when a bundle lay in the crib and, where its opening decides,
// since when it is open.
func (w *watching) lain(s *alarm.Shelved, e rules.Expiry, b inventory.Bundle) error {
	opened := e.Row != nil && e.Row.From == rules.FromOpened
	if !opened && b.Present() == nil {
		return nil
	}
	h, err := w.history(b)
	if err != nil {
		return err
	}
	if opened {
		s.Known = max(s.Known, h.Opened())
	}
	if n := len(h.Stays); n > 0 && b.Present() != nil {
		s.Gone = cmp.Or(slices.MaxFunc(h.Stays, func(a, b inventory.Stay) int { return cmp.Compare(a.To, b.To) }).To, w.at)
	}
	return nil
}
