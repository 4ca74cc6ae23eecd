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
	lots := map[string]bool{}
	for _, b := range w.live {
		lots[b.Lot] = true
	}
	for code := range w.from {
		b, err := stockdb.Bundle(w.ctx, w.tx, w.site, code)
		if ignoreMissing(err) != nil {
			return err
		}
		if err == nil {
			lots[b.Lot] = true
		}
	}
	for _, code := range slices.Sorted(maps.Keys(lots)) {
		from := w.lotFrom(code)
		list, err := w.waiting(code, from)
		if err != nil {
			return err
		}
		w.see(alarm.Papers(list, from, w.at))
	}
	return nil
}

// waiting returns a lot that came so long ago that its certificate is due, once for
// each time that it was here: it may have been sent back and have come again.
// One whose certificate was taken by an instant is passed over.
func (w *watching) waiting(code string, from measure.Instant) (list []alarm.Unpapered, err error) {
	l, err := w.lot(code)
	if err != nil || l.Status == inventory.PracticeStock {
		return nil, err
	}
	came, err := stockdb.FirstReceived(w.ctx, w.tx, w.site, code)
	if err != nil || came == 0 || w.paperDue(came) > w.at {
		return nil, err
	}
	turns, err := w.paperTurns(l, came)
	if n := len(turns); err != nil || (n > 0 && turns[n-1].Taken && turns[n-1].At <= from) {
		return nil, err
	}
	here, err := w.timesHere(code)
	for _, h := range here {
		list = append(list, alarm.Unpapered{Lot: l, Came: measure.DateOf(h.from, w.zone), Due: w.paperDue(h.from), Gone: h.to, Turns: turns})
	}
	return list, err
}

// paperDue returns the end of the last day on which a lot may wait.
func (w *watching) paperDue(came measure.Instant) measure.Instant {
	return measure.DateOf(came, w.zone).AddDays(int(w.set.Papers.WaitDays)).End(w.zone)
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

// timeHere is a stretch of time in which there was stock of a lot; a zero end is
// that there still is.
type timeHere struct{ from, to measure.Instant }

// timesHere returns when there was stock of a lot, in order.
func (w *watching) timesHere(code string) ([]timeHere, error) {
	bundles, err := stockdb.LotBundles(w.ctx, w.tx, w.site, code)
	if err != nil {
		return nil, err
	}
	slices.SortFunc(bundles, byBirth)
	var list []timeHere
	for _, b := range bundles {
		to, err := w.usedUp(b)
		if err != nil {
			return nil, err
		}
		n := len(list) - 1
		switch {
		case n < 0 || (list[n].to != 0 && b.Born > list[n].to):
			list = append(list, timeHere{b.Born, to})
		case to == 0 || list[n].to == 0:
			list[n].to = 0
		default:
			list[n].to = max(list[n].to, to)
		}
	}
	return list, nil
}

// usedUp returns when a bundle was used up, zero while there is any of it.
func (w *watching) usedUp(b inventory.Bundle) (measure.Instant, error) {
	if !b.Empty() {
		return 0, nil
	}
	h, err := w.history(b)
	if err != nil {
		return 0, err
	}
	last := b.Born
	for _, s := range h.Stays {
		last = max(last, s.To)
	}
	return last, nil
}
