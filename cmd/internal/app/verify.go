package app

import (
	"context"
	"errors"
	"fmt"
	"iter"
	"slices"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory/ledger"
	"ovenward/inventory/ledgerdb"
	"ovenward/inventory/stockdb"
)

// Verified is what a check of a site's ledger came to.
type Verified struct {
	Head        ledger.Head
	Rows        int64    // of the projections, compared one by one
	Differences []string // rows that the facts do not give, or that are missing
}

// Verify walks the chain of a site's facts, builds every projection from them
// in a scratch database and compares it with the stored one row by row. The
// error is a *ledger.BrokenError for a broken chain.
func (a *App) Verify(ctx context.Context) (out Verified, err error) {
	err = a.DB.Read(ctx, func(stored *sqlx.Tx) error {
		if out.Head, err = ledgerdb.Verify(ctx, stored, a.Site); err != nil {
			return err
		}
		return a.scratch(ctx, stored, func(made *sqlx.Tx) error {
			out.Rows, out.Differences, err = compare(rows(ctx, stored, a.Site), rows(ctx, made, a.Site))
			return err
		})
	})
	return out, err
}

// compare lists rows that only one of two databases has, the first few of them.
// Both come in one order, so that a row is kept only until its like has come
// from the other.
func compare(stored, built iter.Seq2[stockdb.Row, error]) (n int64, differences []string, err error) {
	next, stop := iter.Pull2(built)
	defer stop()
	open := map[stockdb.Row]int{} // above zero: stored alone so far
	meet := func(r stockdb.Row, side int) {
		if open[r] += side; open[r] == 0 {
			delete(open, r)
		}
	}
	for r, err := range stored {
		if err != nil {
			return n, nil, err
		}
		n++
		other, err, more := next()
		switch {
		case err != nil:
			return n, nil, err
		case !more:
			meet(r, 1)
		case r != other:
			meet(r, 1)
			meet(other, -1)
		}
	}
	for r, err, more := next(); more; r, err, more = next() {
		if err != nil {
			return n, nil, err
		}
		meet(r, -1)
	}
	return n, describe(open), nil
}

func describe(open map[stockdb.Row]int) (out []string) {
	const most = 20
	for r, n := range open {
		what := "stored but not in the facts"
		if n < 0 {
			what = "in the facts but not stored"
		}
		out = append(out, fmt.Sprintf("%s: %s %s", what, r.Table, r.Text))
	}
	slices.Sort(out)
	return out[:min(len(out), most)]
}

// rows are those of every projection of a site, in one order on every engine.
func rows(ctx context.Context, tx *sqlx.Tx, site string) iter.Seq2[stockdb.Row, error] {
	errEnough := errors.New("enough")
	return func(yield func(stockdb.Row, error) bool) {
		err := stockdb.Dump(ctx, tx, site, func(r stockdb.Row) error {
			if !yield(r, nil) {
				return errEnough
			}
			return nil
		})
		if err != nil && !errors.Is(err, errEnough) {
			yield(stockdb.Row{}, err)
		}
	}
}
