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
	"ovenward/inventory/stockdb"
	"ovenward/migrations/db"
)

// Rebuild drops the site's projections and builds them again from its facts.
func (a *App) Rebuild(ctx context.Context) error {
	return a.DB.Write(ctx, func(tx *sqlx.Tx) error {
		if _, err := ledgerdb.Lock(ctx, tx, a.Site); err != nil {
			return err
		}
		if err := stockdb.Forget(ctx, tx, a.Site); err != nil {
			return err
		}
		return a.build(ctx, tx)
	})
}

// build makes the projections of a site that has none. A server is spared a
// million questions, and the versions of rows that it keeps until the end of a
// transaction: they are made in a scratch database and copied.
func (a *App) build(ctx context.Context, tx *sqlx.Tx) error {
	if db.EngineOf(tx) == db.SQLite {
		return a.fold(ctx, tx, tx)
	}
	return a.scratch(ctx, tx, func(made *sqlx.Tx) error { return stockdb.Transfer(ctx, made, tx, a.Site) })
}

// scratch runs fn with the projections that a site's facts make, in a database
// of their own.
func (a *App) scratch(ctx context.Context, facts *sqlx.Tx, fn func(made *sqlx.Tx) error) (err error) {
	d, err := db.Scratch(ctx)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, d.Close()) }()
	return d.Write(ctx, func(made *sqlx.Tx) error {
		if _, err := ledgerdb.Lock(ctx, made, a.Site); err != nil {
			return err
		}
		if err := a.fold(ctx, facts, made); err != nil {
			return err
		}
		return fn(made)
	})
}

// fold is a site's projections as its facts make them: those about places,
// sensors and rules in the order of their entry, then those about stock, each as
// it stands after all corrections, in the order in which they happened.
type fold struct {
	*view
	ledger *sqlx.Tx // where the facts are read; they may be written elsewhere
	stock  []stands
	first  map[int64]int64 // by number of a correction: the first of its chain
	codes  map[byte]int64  // the highest number of each kind of short code
	page   []ledger.Fact
	batch  *stockdb.Batch
}

// stands is a fact about stock, and the number of the one that stands for it.
type stands struct {
	turn
	seq int64
}

// fold builds the projections of a site that has none.
func (a *App) fold(ctx context.Context, facts, into *sqlx.Tx) (err error) {
	v := &view{ctx: ctx, tx: into, app: a, site: a.Site, zone: time.UTC}
	w := &fold{view: v, ledger: facts, first: map[int64]int64{}, codes: map[byte]int64{}, batch: stockdb.NewBatch(ctx, into, a.Site)}
	defer func() { err = errors.Join(err, w.batch.Close()) }()
	if err := ledgerdb.Each(ctx, facts, a.Site, 0, w.read); err != nil {
		return err
	}
	slices.SortFunc(w.stock, func(a, b stands) int { return a.turn.compare(b.turn) })
	for _, s := range w.stock {
		if err := w.stand(s); err != nil {
			return err
		}
	}
	for kind, n := range w.codes {
		if err := stockdb.Used(ctx, into, a.Site, kind, n); err != nil {
			return err
		}
	}
	return nil
}

// read applies a fact that is not about stock, and notes one that is.
func (w *fold) read(f ledger.Fact) error {
	e, err := inventory.DecodeEntry(f.Kind, f.Body)
	if err != nil {
		return err
	}
	if kind, n, ok := inventory.CodeNumber(makes(e)); ok {
		w.codes[kind] = max(w.codes[kind], n)
	}
	switch {
	case f.Supersedes != "":
		return w.correct(f)
	case ofStock(f.Kind):
		w.stock = append(w.stock, stands{turnOf(f), f.Seq})
		return nil
	}
	if s, ok := e.(*inventory.SiteSet); ok {
		if w.zone, err = time.LoadLocation(s.Zone); err != nil {
			return err
		}
	}
	return w.apply(f, e)
}

// correct lets a correction stand for the first fact of its chain.
func (w *fold) correct(f ledger.Fact) error {
	old, err := ledgerdb.ByID(w.ctx, w.ledger, w.site, f.Supersedes)
	if err != nil {
		return err
	}
	first := cmp.Or(w.first[old.Seq], old.Seq)
	w.first[f.Seq] = first
	i, found := slices.BinarySearchFunc(w.stock, first, func(s stands, seq int64) int { return cmp.Compare(s.turn.seq, seq) })
	if found { // else it took back the closing of a day, of which nothing follows
		w.stock[i].at, w.stock[i].seq = f.At, f.Seq
	}
	return nil
}

// stand applies what stands for a fact, in its turn.
func (w *fold) stand(s stands) error {
	f, err := w.fact(s.seq)
	if err != nil {
		return err
	}
	if s.seq != s.turn.seq {
		first, err := w.fact(s.turn.seq)
		if err != nil {
			return err
		}
		f.Seq, f.By = first.Seq, first.By
	}
	e, err := entryOf(f)
	if e == nil || err != nil {
		return err
	}
	return w.batch.Apply(f, e)
}

// fact returns the fact with a number. Most follow each other as they were
// entered, so they are read many at a time.
func (w *fold) fact(seq int64) (ledger.Fact, error) {
	const many = 500
	if n := len(w.page); n == 0 || seq < w.page[0].Seq || seq > w.page[n-1].Seq {
		page, err := ledgerdb.Page(w.ctx, w.ledger, w.site, seq-1, many)
		if err != nil {
			return ledger.Fact{}, err
		}
		w.page = page
	}
	return w.page[seq-w.page[0].Seq], nil
}
