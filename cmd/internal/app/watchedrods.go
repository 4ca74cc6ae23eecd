package app

import (
	"slices"

	"ovenward/alerts/alarm"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
	"ovenward/storage/exposure"
)

// watched is a bundle that the watch looks at, since an instant.
type watched struct {
	alarm.Rods
	from measure.Instant
}

// watched returns a bundle with its history, nil where there is nothing to
// watch: it never was open, or no clock runs for it.
func (w *watching) watched(b inventory.Bundle, from measure.Instant) (*watched, error) {
	ruling, clocked, err := w.ruling(b)
	if err != nil || !clocked {
		return nil, err
	}
	r := &watched{from: from, Rods: alarm.Rods{Bundle: b, Ruling: ruling, Words: w.words(), Ovens: w.ovens.loaded}}
	if r.History, err = w.history(b); err != nil {
		return nil, err
	}
	if !slices.ContainsFunc(r.History.Stays, func(s inventory.Stay) bool { return !s.Sealed }) {
		return nil, nil
	}
	if r.Lot, err = w.lot(b.Lot); err != nil {
		return nil, err
	}
	for _, s := range slices.Backward(r.History.Stays) {
		if s.Slip != "" {
			r.Slip, err = stockdb.Slip(w.ctx, w.tx, w.site, s.Slip)
			break
		}
	}
	f := exposure.Facts{History: r.History, Ruling: ruling}
	if err := w.columnB(r.Lot, &f); err != nil {
		return nil, err
	}
	r.Report, r.Air = f.Report, f.Air
	for _, s := range r.Heated(w.at) {
		w.ovens.need(s.Place, s.From.Add(-ruling.Evidence.MaxGap))
	}
	return r, err
}

func (v *view) words() alarm.Words { return alarm.Words{Zone: v.zone, Units: v.settings.Units} }
