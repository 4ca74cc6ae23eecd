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
	"ovenward/inventory/stockdb"
	"ovenward/migrations/db"
)

// Verified is what a check of a site's ledger came to.
type Verified struct {
	Head        ledger.Head
	Rows        int64    // of the projections, compared one by one
	Differences []string // rows that the facts do not give, or that are missing
}

// Verify walks the chain of a site's facts, rebuilds every projection from them
// in a scratch database and compares it with the stored one row by row. The
// error is a *ledger.BrokenError for a broken chain.
func (a *App) Verify(ctx context.Context) (out Verified, err error) {
	scratch, err := db.Open(ctx, "sqlite::memory:")
	if err != nil {
		return out, err
	}
	defer func() { err = errors.Join(err, scratch.Close()) }()
	copied := &App{DB: scratch, Site: a.Site, Via: a.Via, Now: a.Now}
	err = a.DB.Read(ctx, func(tx *sqlx.Tx) error {
		if out.Head, err = ledgerdb.Verify(ctx, tx, a.Site); err != nil {
			return err
		}
		if err := copied.copyFacts(ctx, tx); err != nil {
			return err
		}
		out.Rows, out.Differences, err = compare(ctx, tx, scratch, a.Site)
		return err
	})
	return out, err
}

// copyFacts applies every fact of a site, read through another database's
// transaction, to an empty database.
func (a *App) copyFacts(ctx context.Context, from *sqlx.Tx) error {
	const batch = 2000 // facts a transaction
	for after, more := int64(0), true; more; {
		facts, err := ledgerdb.Page(ctx, from, a.Site, after, batch)
		if err != nil || len(facts) == 0 {
			return err
		}
		if err := a.loadBatch(ctx, facts); err != nil {
			return err
		}
		after, more = facts[len(facts)-1].Seq, len(facts) == batch
	}
	return nil
}

// loadBatch appends facts as they were exported and applies them, in one
// transaction.
func (a *App) loadBatch(ctx context.Context, facts []ledger.Fact) error {
	return a.DB.Write(ctx, func(tx *sqlx.Tx) error {
		head, err := ledgerdb.Lock(ctx, tx, a.Site)
		if err != nil {
			return err
		}
		if _, err := ledgerdb.InsertAll(ctx, tx, head, facts); err != nil {
			return err
		}
		return a.applyAll(ctx, tx, facts)
	})
}

func (a *App) applyAll(ctx context.Context, tx *sqlx.Tx, facts []ledger.Fact) error {
	v, err := a.view(ctx, tx, a.now())
	if err != nil {
		return err
	}
	for _, f := range facts {
		if f.Supersedes != "" {
			if err := v.rebuildAfter(f); err != nil {
				return err
			}
			continue
		}
		e, err := inventory.DecodeEntry(f.Kind, f.Body)
		if err != nil {
			return err
		}
		if err := v.apply(f, e); err != nil {
			return err
		}
		if s, ok := e.(*inventory.SiteSet); ok {
			if v.zone, err = time.LoadLocation(s.Zone); err != nil {
				return err
			}
		}
	}
	return nil
}

// Load appends the facts of an export to the site that the export is of, from
// where the site left off, and returns how many were new. Nothing of a file
// that is damaged is kept.
func (a *App) Load(ctx context.Context, r io.Reader) (n int64, err error) {
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
		for {
			f, err := in.Read()
			if errors.Is(err, io.EOF) {
				return nil
			}
			if err != nil {
				return err
			}
			if err := ledgerdb.Insert(ctx, tx, head, f); err != nil {
				return err
			}
			head = f.Head()
			if err := a.applyAll(ctx, tx, []ledger.Fact{f}); err != nil {
				return err
			}
			n++
		}
	})
	return n, err
}

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

// Rebuild drops the site's projections and builds them again from its facts.
func (a *App) Rebuild(ctx context.Context) error {
	return a.DB.Write(ctx, func(tx *sqlx.Tx) error {
		if _, err := ledgerdb.Lock(ctx, tx, a.Site); err != nil {
			return err
		}
		if err := stockdb.Forget(ctx, tx, a.Site); err != nil {
			return err
		}
		return ledgerdb.Each(ctx, tx, a.Site, 0, func(f ledger.Fact) error {
			return a.applyAll(ctx, tx, []ledger.Fact{f})
		})
	})
}

// compare lists the rows in which a site's projections differ between two
// databases, the first few of them.
func compare(ctx context.Context, stored *sqlx.Tx, rebuilt *db.DB, site string) (rows int64, differences []string, err error) {
	const most = 20
	want := map[stockdb.Row]int{}
	err = rebuilt.Read(ctx, func(tx *sqlx.Tx) error {
		clear(want)
		return stockdb.Dump(ctx, tx, site, func(r stockdb.Row) error { want[r]++; return nil })
	})
	if err != nil {
		return 0, nil, err
	}
	note := func(format string, r stockdb.Row) {
		if len(differences) < most {
			differences = append(differences, fmt.Sprintf(format, r.Table, r.Text))
		}
	}
	err = stockdb.Dump(ctx, stored, site, func(r stockdb.Row) error {
		rows++
		if want[r] == 0 {
			note("stored but not in the facts: %s %s", r)
			return nil
		}
		want[r]--
		return nil
	})
	for r, n := range want {
		if n > 0 {
			note("in the facts but not stored: %s %s", r)
		}
	}
	return rows, differences, err
}
