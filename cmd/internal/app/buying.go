package app

import (
	"bytes"
	"context"
	"errors"

	"github.com/jmoiron/sqlx"

	"ovenward/forecast/plandb"
	"ovenward/forecast/terms"
	"ovenward/inventory/ledgerdb"
	"ovenward/migrations/db"
)

// Buying is what the buyer set, with the file it stands in.
type Buying struct {
	Revision plandb.Buying // its number is zero where nothing was loaded
	Terms    terms.Terms
	Repeat   bool // the file holds already; nothing was written
}

// LoadBuying makes a file what the buyer of the site sets, in one transaction.
// A file that holds already is not stored again. The error is a *PlanError, or a
// *inventory.Refusal where nobody is named or the person is not purchasing's.
func (a *App) LoadBuying(ctx context.Context, l PlanLoad) (Buying, error) {
	t, err := terms.Read(bytes.NewReader(l.File))
	if err != nil {
		return Buying{}, &PlanError{Name: l.Name, Err: err, Next: "mend it, or compare it with: ovenward buy policy template"}
	}
	if l.By == "" {
		return Buying{}, nobody()
	}
	out := Buying{Terms: t}
	err = a.DB.Write(ctx, func(tx *sqlx.Tx) error {
		if _, err := ledgerdb.Lock(ctx, tx, a.Site); err != nil {
			return err
		}
		if err := a.mayPlan(ctx, tx, l.By, "set the buyer's terms"); err != nil {
			return err
		}
		out.Revision, err = plandb.NewestBuying(ctx, tx, a.Site)
		if out.Repeat = err == nil && bytes.Equal(out.Revision.File, l.File); out.Repeat {
			return nil
		}
		if ignoreMissing(err) != nil {
			return err
		}
		out.Revision, err = plandb.AppendBuying(ctx, tx, a.Site,
			plandb.Buying{Loaded: a.now(), By: l.By, Name: l.Name, File: l.File})
		if err == nil && l.DryRun {
			return errDryRun
		}
		return err
	})
	if err != nil && !errors.Is(err, errDryRun) {
		return Buying{}, err
	}
	return out, nil
}

// Buying returns what the buyer set last; nothing where no file was loaded.
func (a *App) Buying(ctx context.Context) (b Buying, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		b, err = v.buying()
		return err
	})
	return b, err
}

func (v *view) buying() (b Buying, err error) {
	b.Revision, err = plandb.NewestBuying(v.ctx, v.tx, v.site)
	if errors.Is(err, db.ErrNotFound) {
		return Buying{}, nil
	}
	if err == nil {
		b.Terms, err = terms.Read(bytes.NewReader(b.Revision.File))
	}
	return b, err
}
