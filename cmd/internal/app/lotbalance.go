package app

import (
	"errors"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
)

// Amount is a number of pieces, or a mass of wire or flux.
type Amount struct {
	Pieces int64        `json:"pieces"`
	Mass   measure.Mass `json:"mass_ug,omitempty"`
}

func (a *Amount) add(pieces int64, mass measure.Mass) {
	a.Pieces += pieces
	a.Mass += mass
}

// LotBalance is where all that was received of a lot is. What came in is in
// stock, out on slips, used, scrapped or lost.
type LotBalance struct {
	Lot      string
	Counted  bool // in pieces; else weighed
	Received Amount
	InStock  Amount
	Out      Amount
	Used     Amount
	Scrapped Amount // thrown away, or back damaged or without a mark
	Lost     Amount // what counts found missing; a surplus is below zero
}

// Open returns what is accounted for nowhere: zero, as long as the program makes
// no mistake.
func (b LotBalance) Open() Amount {
	sum := Amount{}
	for _, a := range []Amount{b.InStock, b.Out, b.Used, b.Scrapped, b.Lost} {
		sum.add(a.Pieces, a.Mass)
	}
	return Amount{Pieces: b.Received.Pieces - sum.Pieces, Mass: b.Received.Mass - sum.Mass}
}

// lotBalance adds up a lot: what came in from its facts, where it is from the
// stock, so that the one proves the other.
func (v *view) lotBalance(lot string) (LotBalance, error) {
	l, err := v.lot(lot)
	if err != nil {
		return LotBalance{}, err
	}
	b := LotBalance{Lot: lot, Counted: l.Counted()}
	bundles, err := stockdb.LotBundles(v.ctx, v.tx, v.site, lot)
	if err != nil {
		return b, err
	}
	for _, x := range bundles {
		if x.Slip == "" {
			b.InStock.add(x.Pieces, x.Mass)
		} else {
			b.Out.add(x.Pieces, x.Mass)
		}
	}
	if err := v.goneOf(lot, &b); err != nil {
		return b, err
	}
	return b, v.receivedOf(lot, &b)
}

// goneOf adds what was used, scrapped and lost.
func (v *view) goneOf(lot string, b *LotBalance) error {
	losses, err := stockdb.Losses(v.ctx, v.tx, v.site, lot)
	if err != nil {
		return err
	}
	lossOn := map[string]Amount{}
	for _, x := range losses {
		if x.Kind == "scrap" {
			b.Scrapped.add(x.Pieces, x.Mass)
		} else {
			b.Lost.add(x.Pieces, x.Mass)
		}
		a := lossOn[x.Bundle]
		a.add(x.Pieces, x.Mass)
		lossOn[x.Bundle] = a
	}
	slips, err := stockdb.LotSlips(v.ctx, v.tx, v.site, lot)
	if err != nil {
		return err
	}
	for _, s := range slips {
		bad := s.Back.Damaged + s.Back.Unidentified
		left, err := v.leftOn(s, lossOn)
		if err != nil {
			return err
		}
		b.Scrapped.add(bad, 0)
		b.Used.add(s.Pieces-s.Back.Unused-bad-left.Pieces, s.Mass-s.Back.UnusedMass-left.Mass)
	}
	return nil
}

// leftOn returns what of a slip is still out, or was lost while it was.
func (v *view) leftOn(s inventory.Slip, lossOn map[string]Amount) (left Amount, err error) {
	rods, err := v.rodsOf(s)
	if err != nil {
		return left, err
	}
	for _, r := range rods {
		if r.Slip == s.Code {
			left.add(r.Pieces, r.Mass)
		}
		if lost, ok := lossOn[r.Code]; ok {
			left.add(lost.Pieces, lost.Mass)
		}
	}
	return left, nil
}

// receivedOf adds what the lot's facts say came in.
func (v *view) receivedOf(lot string, b *LotBalance) error {
	seqs, err := stockdb.FactsOfLot(v.ctx, v.tx, v.site, lot)
	if err != nil {
		return err
	}
	for _, seq := range seqs {
		_, e, err := v.standing(seq)
		if err != nil {
			return err
		}
		in, ok := e.(*inventory.Received)
		if !ok || in.Lot != lot {
			continue
		}
		_, stock, err := in.Stock()
		if ref, refused := errors.AsType[*inventory.Refusal](err); refused {
			return ref
		}
		b.Received.add(stock.Pieces, stock.Mass)
	}
	return nil
}
