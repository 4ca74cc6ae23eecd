package app

import (
	"cmp"
	"context"
	"math"
	"slices"

	"ovenward/inventory"
	"ovenward/inventory/ledger"
	"ovenward/inventory/ledgerdb"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
)

// Recorded is a fact as it stands after all corrections.
type Recorded struct {
	Fact  ledger.Fact     // the last correction, or the fact itself
	Entry inventory.Entry // what it says
	First ledger.Fact     // as it was entered first
}

// By returns who acted, or entered it first.
func (r Recorded) By() string { return r.First.By }

// Late returns how long after it happened the fact was first entered, and
// whether that is late.
func (r Recorded) Late() (measure.Duration, bool) { return r.First.Late() }

// Always is the end of time.
const Always = measure.Instant(math.MaxInt64)

// Happened returns the facts of some kinds that stand and happened from one
// instant up to another, the latter left out, in that order. A zero to is the
// end of time, or of what is told of a site as it stood.
func (a *App) Happened(ctx context.Context, from, to measure.Instant, kinds ...string) (list []Recorded, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		list, err = v.happened(from, to, kinds...)
		return err
	})
	return list, err
}

func (v *view) happened(from, to measure.Instant, kinds ...string) ([]Recorded, error) {
	if to == 0 {
		to = cmp.Or(v.app.again.until, Always)
	}
	var all []Recorded
	for _, kind := range kinds {
		facts, err := ledgerdb.Happened(v.ctx, v.facts(), v.site, kind, from, to)
		if err != nil {
			return nil, err
		}
		for _, f := range facts {
			r, err := v.recordedAs(f)
			if err != nil {
				return nil, err
			}
			all = append(all, r)
		}
	}
	slices.SortStableFunc(all, func(a, b Recorded) int {
		return cmp.Or(cmp.Compare(a.Fact.At, b.Fact.At), cmp.Compare(a.First.Seq, b.First.Seq))
	})
	return all, nil
}

func (v *view) recordedAs(f ledger.Fact) (r Recorded, err error) {
	r.Fact = f
	if r.Entry, err = inventory.DecodeEntry(f.Kind, f.Body); err != nil {
		return r, err
	}
	r.First, err = v.first(f)
	return r, err
}

// Noted is a fact as it was recorded, with the one that it corrects where it
// does.
type Noted struct {
	Fact  ledger.Fact
	Entry inventory.Entry
	Was   *ledger.Fact
}

// Noted returns the facts that were recorded from one instant up to another, the
// latter left out, in order, whenever they happened.
func (a *App) Noted(ctx context.Context, from, to measure.Instant) (list []Noted, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		facts, err := ledgerdb.Noted(ctx, v.facts(), v.site, from, to)
		if err != nil {
			return err
		}
		list = nil
		for _, f := range facts {
			n, err := v.notedAs(f)
			if err != nil {
				return err
			}
			list = append(list, n)
		}
		return nil
	})
	return list, err
}

func (v *view) notedAs(f ledger.Fact) (n Noted, err error) {
	n.Fact = f
	if n.Entry, err = inventory.DecodeEntry(f.Kind, f.Body); err != nil || f.Supersedes == "" {
		return n, err
	}
	was, err := ledgerdb.ByID(v.ctx, v.facts(), v.site, f.Supersedes)
	n.Was = &was
	return n, err
}

// Naming returns the facts that stand and speak of a bundle or a slip of a lot,
// in the order in which they happened.
func (a *App) Naming(ctx context.Context, lot string, codes ...string) (list []Recorded, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		list, err = v.naming(lot, codes)
		return err
	})
	return list, err
}

func (v *view) naming(lot string, codes []string) (list []Recorded, err error) {
	seqs, err := stockdb.FactsOfLot(v.ctx, v.tx, v.site, lot)
	if err != nil {
		return nil, err
	}
	for _, seq := range seqs {
		page, err := ledgerdb.Page(v.ctx, v.facts(), v.site, seq-1, 1)
		if err != nil {
			return nil, err
		}
		f, err := v.newest(page[0])
		if err != nil {
			return nil, err
		}
		e, err := entryOf(f)
		if err != nil {
			return nil, err
		}
		if e != nil && slices.ContainsFunc(names(e), func(n string) bool { return slices.Contains(codes, n) }) {
			list = append(list, Recorded{Fact: f, Entry: e, First: page[0]})
		}
	}
	slices.SortStableFunc(list, func(a, b Recorded) int {
		return cmp.Or(cmp.Compare(a.Fact.At, b.Fact.At), cmp.Compare(a.First.Seq, b.First.Seq))
	})
	return list, nil
}
