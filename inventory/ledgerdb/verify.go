package ledgerdb

import (
	"context"
	"math"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory/ledger"
)

// Verify walks a site's whole chain and compares its end with the stored head,
// which it returns. The error is a *ledger.BrokenError that names the first bad
// or missing fact. What it cannot see is an end that was cut off or written anew
// together with the head.
func Verify(ctx context.Context, tx *sqlx.Tx, site string) (ledger.Head, error) {
	end := ledger.Start(site)
	// From the least number there is: a fact numbered 0 is to be found too.
	err := Each(ctx, tx, site, math.MinInt64, func(f ledger.Fact) error {
		if err := end.Check(f); err != nil {
			return err
		}
		end = f.Head()
		return nil
	})
	if err != nil {
		return end, err
	}
	stored, err := Head(ctx, tx, site)
	if err != nil {
		return end, err
	}
	return end, compare(end, stored)
}

// compare finds the first fact at which the chain and the stored head differ.
func compare(end, stored ledger.Head) error {
	broken := func(seq int64, why string) error {
		return &ledger.BrokenError{Site: end.Site, Seq: seq, Why: why}
	}
	switch {
	case stored.Seq > end.Seq:
		return broken(end.Seq+1, "it is missing, the stored head counts it")
	case stored.Seq < end.Seq:
		return broken(stored.Seq+1, "the stored head does not count it")
	case stored != end:
		return broken(end.Seq, "it is not the fact that the stored head names")
	}
	return nil
}
