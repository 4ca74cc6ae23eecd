package app

import (
	"cmp"
	"context"
	"errors"
	"slices"
	"time"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/ledger"
	"ovenward/inventory/ledgerdb"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
	"ovenward/migrations/db"
	"ovenward/storage/ovendb"
)

// AsItStood runs fn with the program as one that only answers questions, of a
// site as it stood at an instant past: what happened then or later is left out,
// and what happened before counts however late it was noted. Of the lots only
// those are there of which something happened since another instant, or of
// which there is stock. Where nothing is known of later, fn gets the program
// itself.
func (a *App) AsItStood(ctx context.Context, from, until measure.Instant, fn func(then *App) error) (err error) {
	later, err := a.knowsOf(ctx, until)
	switch {
	case err != nil:
		return err
	case !later:
		return fn(a)
	}
	then := *a
	then.Now = func() time.Time { return until.Time() }
	then.again.facts = cmp.Or(a.again.facts, a.again.made, a.DB)
	then.again.until = until
	if then.again.made, err = db.Scratch(ctx); err != nil {
		return err
	}
	defer func() { err = errors.Join(err, then.again.made.Close()) }()
	err = a.read(ctx, 0, func(v *view) error {
		return then.again.made.Write(ctx, func(made *sqlx.Tx) error { return v.foldUntil(made, from, until) })
	})
	if err != nil {
		return err
	}
	return fn(&then)
}

// knowsOf reports whether anything was noted at an instant or later: nothing
// happens after it was noted.
func (a *App) knowsOf(ctx context.Context, at measure.Instant) (later bool, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		head, err := ledgerdb.Head(v.ctx, v.facts(), v.site)
		later = head.Noted >= at
		return err
	})
	return later, err
}

// foldUntil makes the projections that the facts before an instant make, of the
// lots in play since another.
func (v *view) foldUntil(made *sqlx.Tx, from, until measure.Instant) (err error) {
	if _, err := ledgerdb.Lock(v.ctx, made, v.site); err != nil {
		return err
	}
	into := &view{ctx: v.ctx, tx: made, ledger: v.facts(), app: v.app, site: v.site, zone: v.zone}
	w := &fold{view: into, ledger: v.facts(), batch: stockdb.NewBatch(v.ctx, made, v.site)}
	defer func() { err = errors.Join(err, w.batch.Close()) }()
	if err := v.setUp(into, until); err != nil {
		return err
	}
	seqs, err := v.inPlay(from)
	if err != nil {
		return err
	}
	for _, seq := range seqs {
		f, err := w.fact(seq)
		if err != nil {
			return err
		}
		newest, err := v.newest(f)
		if err != nil {
			return err
		}
		if newest.At < until {
			w.stock = append(w.stock, stands{turn{newest.At, seq}, newest.Seq})
		}
	}
	slices.SortFunc(w.stock, func(a, b stands) int { return a.turn.compare(b.turn) })
	for _, s := range w.stock {
		if err := w.stand(s); err != nil {
			return err
		}
	}
	return nil
}

// inPlay returns the numbers of the facts about the lots that anything happened
// to since an instant or that there is stock of, in order.
func (v *view) inPlay(from measure.Instant) ([]int64, error) {
	first, err := ledgerdb.FirstNoted(v.ctx, v.facts(), v.site, from)
	if err != nil {
		return nil, err
	}
	lots, err := stockdb.InPlay(v.ctx, v.tx, v.site, first)
	if err != nil {
		return nil, err
	}
	if lots, err = stockdb.Blended(v.ctx, v.tx, v.site, lots); err != nil {
		return nil, err
	}
	var all []int64
	for _, lot := range lots {
		seqs, err := stockdb.FactsOfLot(v.ctx, v.tx, v.site, lot)
		if err != nil {
			return nil, err
		}
		all = append(all, seqs...)
	}
	slices.Sort(all)
	return slices.Compact(all), nil
}

// setUp applies what is not about stock, in the order of its entry, as far as it
// counts at an instant.
func (v *view) setUp(into *view, until measure.Instant) error {
	var all []ledger.Fact
	for _, kind := range inventory.Kinds() {
		if ofStock(kind) || kind == "day" || kind == "void" {
			continue
		}
		facts, err := ledgerdb.Happened(v.ctx, v.facts(), v.site, kind, 0, Always)
		if err != nil {
			return err
		}
		all = append(all, facts...)
	}
	slices.SortFunc(all, func(a, b ledger.Fact) int { return cmp.Compare(a.Seq, b.Seq) })
	begun := map[string]bool{} // of what a site has one of
	for _, f := range all {
		e, err := inventory.DecodeEntry(f.Kind, f.Body)
		if err != nil {
			return err
		}
		counts, err := v.counted(f, e, until)
		if err != nil {
			return err
		}
		if !counts && (begun[f.Kind] || (f.Kind != "site" && f.Kind != "use-rules")) {
			continue
		}
		begun[f.Kind] = true
		if err := into.apply(f, e); err != nil {
			return err
		}
	}
	return nil
}

// counted reports whether a fact that is not about stock counts at an instant.
// What says itself from when it holds does; so does a place that was set up
// after something had been in it, and a sensor after it had been read: its
// registers were kept on paper until then.
func (v *view) counted(f ledger.Fact, e inventory.Entry, until measure.Instant) (bool, error) {
	if f.At < until {
		return true, nil
	}
	switch e := e.(type) {
	case *inventory.RulesApproved, *inventory.PersonSet, *inventory.ShutDown:
		return true, nil
	case *inventory.SensorSet:
		_, read, err := ovendb.Latest(v.ctx, v.kept(), v.site, e.Sensor, until-1)
		return read, err
	case *inventory.PlaceSet:
		stays, err := stockdb.KeptIn(v.ctx, v.tx, v.site, e.Place, 0, until-1)
		if err != nil || len(stays) > 0 {
			return err == nil, err
		}
		sensors, err := ovendb.Sensors(v.ctx, v.tx, v.site, e.Place)
		for _, s := range sensors {
			if _, read, err := ovendb.Latest(v.ctx, v.kept(), v.site, s.Name, until-1); read || err != nil {
				return read, err
			}
		}
		return false, err
	}
	return false, nil
}
