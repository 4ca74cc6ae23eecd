package app

import (
	"cmp"
	"context"
	"maps"
	"slices"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
)

// HeldLot is a lot that QA has not released.
type HeldLot struct {
	Lot        inventory.Lot
	Since      measure.Instant
	Left       Amount // in the crib and out
	Received   Amount
	WrittenOff Amount
	Value      []string // of what is left, by currency
	Lost       []string // of what was scrapped
}

// HeldLots returns the lots that wait for QA, are held, or are practice stock,
// those that have waited longest first, as things stand now.
func (a *App) HeldLots(ctx context.Context) (list []HeldLot, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		lots, err := stockdb.Lots(v.ctx, v.tx, v.site)
		if err != nil {
			return err
		}
		list = nil
		for _, l := range lots {
			if l.Status == inventory.Released {
				continue
			}
			h, err := v.heldLot(l)
			if err != nil {
				return err
			}
			list = append(list, h)
		}
		return nil
	})
	slices.SortStableFunc(list, func(x, y HeldLot) int { return cmp.Compare(x.Since, y.Since) })
	return list, err
}

// heldLot finds since when a lot is held and what of it is left.
func (v *view) heldLot(l inventory.Lot) (HeldLot, error) {
	h := HeldLot{Lot: l}
	b, err := v.lotBalance(l.Code)
	if err != nil {
		return h, err
	}
	h.Received, h.WrittenOff = b.Received, b.Scrapped
	h.Left.add(b.InStock.Pieces+b.Out.Pieces, b.InStock.Mass+b.Out.Mass)
	seqs, err := stockdb.FactsOfLot(v.ctx, v.tx, v.site, l.Code)
	if err != nil {
		return h, err
	}
	w := worth{}
	for _, seq := range seqs {
		f, e, err := v.standing(seq)
		if err != nil {
			return h, err
		}
		if stops(e) && (h.Since == 0 || f.Kind == "hold") {
			h.Since = f.At
		}
		if err := w.add(e); err != nil {
			return h, err
		}
	}
	return h, v.priced(&h, w)
}

// priced says what the bundles that are left are worth, and those that were
// scrapped.
func (v *view) priced(h *HeldLot, w worth) error {
	all, err := stockdb.LotBundles(v.ctx, v.tx, v.site, h.Lot.Code)
	if err != nil {
		return err
	}
	left, lost := sums{}, sums{}
	for _, b := range all {
		left.add(w.of(b.Code), b.Pieces, b.Mass)
	}
	losses, err := stockdb.Losses(v.ctx, v.tx, v.site, h.Lot.Code)
	for _, l := range losses {
		if l.Kind == "scrap" {
			lost.add(w.of(l.Bundle), l.Pieces, l.Mass)
		}
	}
	h.Value, h.Lost = left.texts(), lost.texts()
	return err
}

// stops reports whether a fact makes a lot wait for QA.
func stops(e inventory.Entry) bool {
	switch e := e.(type) {
	case *inventory.Received:
		return true
	case *inventory.HeldBack:
		return e.Lot != ""
	}
	return false
}

// worth is what the stock of a lot costs, by the bundle it came as; the empty
// name stands for what became of several.
type worth map[string]inventory.Price

// add adds the price of a receipt.
func (w worth) add(e inventory.Entry) error {
	in, ok := e.(*inventory.Received)
	if !ok || in.Price == "" {
		return nil
	}
	p, err := inventory.ParsePrice(in.Price)
	w[in.Bundle], w[""] = p, p
	return err
}

func (w worth) of(bundle string) inventory.Price {
	if p, ok := w[bundle]; ok {
		return p
	}
	return w[""]
}

// sums are amounts of money by currency.
type sums map[string]int64

func (s sums) add(p inventory.Price, pieces int64, mass measure.Mass) {
	if p.Currency != "" {
		s[p.Currency] += p.Of(pieces, mass)
	}
}

func (s sums) texts() []string {
	var out []string
	for _, c := range slices.Sorted(maps.Keys(s)) {
		if s[c] != 0 {
			out = append(out, inventory.MoneyText(s[c], c))
		}
	}
	return out
}
