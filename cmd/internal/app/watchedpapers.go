package app

import (
	"maps"
	"slices"

	"ovenward/alerts/alarm"
	"ovenward/inventory"
	"ovenward/inventory/jobdb"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
)

// unpapered adds what began for lots that wait for a certificate longer than the
// rule set in force gives them: of stock that is here, and of what was used up
// since the last look.
func (w *watching) unpapered() error {
	if w.set == nil || w.set.Papers.WaitDays == 0 {
		return nil
	}
	here := map[string]bool{} // by lot: whether there is stock of it
	for _, b := range w.live {
		here[b.Lot] = true
	}
	for code := range w.from {
		b, err := stockdb.Bundle(w.ctx, w.tx, w.site, code)
		if ignoreMissing(err) != nil {
			return err
		}
		if err == nil {
			here[b.Lot] = here[b.Lot] || false
		}
	}
	var list []alarm.Unpapered
	for _, code := range slices.Sorted(maps.Keys(here)) {
		var err error
		if list, err = w.waiting(list, code, here[code]); err != nil {
			return err
		}
	}
	w.see(alarm.Papers(list, w.mark.At, w.at))
	return nil
}

// waiting adds a lot that came so long ago that its certificate is due.
func (w *watching) waiting(list []alarm.Unpapered, code string, here bool) ([]alarm.Unpapered, error) {
	l, err := w.lot(code)
	if err != nil || l.Status == inventory.PracticeStock {
		return list, err
	}
	came, err := stockdb.FirstReceived(w.ctx, w.tx, w.site, code)
	if err != nil || came == 0 {
		return list, err
	}
	u := alarm.Unpapered{Lot: l, Came: measure.DateOf(came, w.zone)}
	u.Due = u.Came.AddDays(int(w.set.Papers.WaitDays)).End(w.zone)
	if u.Due > w.at {
		return list, nil
	}
	if u.Turns, err = w.paperTurns(l, came); err != nil {
		return list, err
	}
	if !here {
		u.Gone, err = w.lotGone(code)
	}
	return append(list, u), err
}

// paperTurns returns when a lot had a paper that was taken and when it had none.
func (w *watching) paperTurns(l inventory.Lot, came measure.Instant) ([]alarm.PaperTurn, error) {
	versions, err := jobdb.CertificateVersions(w.ctx, w.tx, w.site, l.Code, w.at)
	if err != nil {
		return nil, err
	}
	var turns []alarm.PaperTurn
	taken := map[string]bool{} // by number
	if p, ok := inventory.ReceiptPaper(l); ok {
		taken[p.Number] = true
		turns = append(turns, alarm.PaperTurn{At: came, Taken: true})
	}
	for _, v := range versions {
		p, err := v.Entry.Read()
		if err != nil {
			return nil, err
		}
		taken[p.Number] = p.Rejected == ""
		turns = append(turns, alarm.PaperTurn{At: v.Since, Taken: slices.Contains(slices.Collect(maps.Values(taken)), true)})
	}
	return turns, nil
}

// lotGone returns when the last of a lot was used up.
func (w *watching) lotGone(code string) (measure.Instant, error) {
	bundles, err := stockdb.LotBundles(w.ctx, w.tx, w.site, code)
	var gone measure.Instant
	for _, b := range bundles {
		h, err := w.history(b)
		if err != nil {
			return 0, err
		}
		for _, s := range h.Stays {
			gone = max(gone, s.To)
		}
	}
	return gone, err
}
