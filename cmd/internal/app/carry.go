package app

import (
	"context"
	"errors"
	"fmt"
	"io"
	"time"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/ledger"
	"ovenward/inventory/ledgerdb"
	"ovenward/migrations/db"
)

// Export writes a site's facts after a number as JSON lines.
func (a *App) Export(ctx context.Context, w io.Writer, after int64) (n int64, err error) {
	err = a.DB.Read(ctx, func(tx *sqlx.Tx) error {
		n = 0
		from := ledger.Start(a.Site)
		if after > 0 {
			page, err := ledgerdb.Page(ctx, tx, a.Site, after-1, 1)
			if err != nil {
				return err
			}
			if len(page) == 0 {
				return fmt.Errorf("site %s has no fact %d: %w", a.Site, after, db.ErrNotFound)
			}
			from = page[0].Head()
		}
		out, err := ledger.NewWriter(w, from)
		if err != nil {
			return err
		}
		err = ledgerdb.Each(ctx, tx, a.Site, after, func(f ledger.Fact) error { n++; return out.Write(f) })
		if err != nil {
			return err
		}
		return out.Close()
	})
	return n, err
}

// Load appends the facts of an export to the site that the export is of, from
// where the site left off, and returns how many were new. Nothing of a file
// that is damaged is kept.
func (a *App) Load(ctx context.Context, r io.Reader) (n int64, err error) {
	return a.load(ctx, r, false)
}

// TryLoad is Load that takes everything back in the end.
func (a *App) TryLoad(ctx context.Context, r io.Reader) (n int64, err error) {
	if n, err = a.load(ctx, r, true); errors.Is(err, errDryRun) {
		err = nil
	}
	return n, err
}

func (a *App) load(ctx context.Context, r io.Reader, dry bool) (n int64, err error) {
	err = a.DB.Write(ctx, func(tx *sqlx.Tx) error {
		n = 0
		head, err := ledgerdb.Lock(ctx, tx, a.Site)
		if err != nil {
			return err
		}
		in, err := ledger.NewReader(r, head)
		if err != nil {
			return err
		}
		if head.Seq == 0 {
			n, err = a.loadWhole(ctx, tx, in, head)
		} else {
			n, err = a.loadMore(ctx, tx, in, head)
		}
		if err == nil && dry {
			err = errDryRun
		}
		return err
	})
	return n, err
}

// loadWhole appends the facts of a site that had none, and builds what follows
// from them at the end.
func (a *App) loadWhole(ctx context.Context, tx *sqlx.Tx, in *ledger.Reader, head ledger.Head) (n int64, err error) {
	const many = 500
	batch := make([]ledger.Fact, 0, many)
	for ended := false; !ended; batch = batch[:0] {
		for len(batch) < many && !ended {
			f, err := in.Read()
			switch {
			case errors.Is(err, io.EOF):
				ended = true
			case err != nil:
				return 0, err
			default:
				batch = append(batch, f)
			}
		}
		if head, err = ledgerdb.InsertAll(ctx, tx, head, batch); err != nil {
			return 0, err
		}
		n += int64(len(batch))
	}
	return n, a.build(ctx, tx)
}

// loadMore appends facts and applies each as it was when it was entered.
func (a *App) loadMore(ctx context.Context, tx *sqlx.Tx, in *ledger.Reader, head ledger.Head) (n int64, err error) {
	v, err := a.view(ctx, tx, a.now())
	if err != nil {
		return 0, err
	}
	d := &desk{view: v, head: head}
	for ; ; n++ {
		f, err := in.Read()
		if errors.Is(err, io.EOF) {
			return n, nil
		}
		if err != nil {
			return 0, err
		}
		if err := d.follow(f); err != nil {
			return 0, err
		}
	}
}

// follow records a fact that was decided elsewhere.
func (d *desk) follow(f ledger.Fact) error {
	e, err := inventory.DecodeEntry(f.Kind, f.Body)
	if err != nil {
		return err
	}
	if s, ok := e.(*inventory.SiteSet); ok {
		if d.zone, err = time.LoadLocation(s.Zone); err != nil {
			return err
		}
	}
	d.at = f.At
	r := Request{At: f.At, Entry: e}
	placed, later, err := d.placed(f, r)
	if err != nil {
		return err
	}
	if err := ledgerdb.Insert(d.ctx, d.tx, d.head, f); err != nil {
		return err
	}
	d.head = f.Head()
	if err := d.apply(placed, e); err != nil {
		return err
	}
	return d.again(later, f.At, e)
}

// placed prepares for a fact and returns it in its place, a correction in that
// of the first of its chain.
func (d *desk) placed(f ledger.Fact, r Request) (placed ledger.Fact, later []ledger.Fact, err error) {
	if f.Supersedes == "" {
		later, err = d.makeRoom(&r)
		return f, later, err
	}
	old, err := ledgerdb.ByID(d.ctx, d.tx, d.site, f.Supersedes)
	if err != nil {
		return f, nil, err
	}
	first, later, err := d.makeRoomIn(old, r)
	f.Seq, f.By = first.Seq, first.By
	return f, later, err
}
