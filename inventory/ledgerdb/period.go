package ledgerdb

import (
	"context"
	"fmt"
	"sort"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory/ledger"
	"ovenward/inventory/measure"
)

// A correction keeps the kind of what it corrects, unless it takes it back.
const factsHappened = `SELECT ` + factColumns + ` FROM fact f
	WHERE f.site = $1 AND f.kind = $2 AND f.at_us >= $3 AND f.at_us < $4
		AND NOT EXISTS (SELECT 1 FROM fact s WHERE s.site = f.site AND s.supersedes = f.id AND s.supersedes <> '')
	ORDER BY f.at_us, f.seq`

// Happened returns the facts of a kind that stand and happened from one instant
// up to another, the latter left out, in that order. What a correction
// superseded is left out: the correction stands for it.
func Happened(ctx context.Context, tx *sqlx.Tx, site, kind string, from, to measure.Instant) ([]ledger.Fact, error) {
	var fs []ledger.Fact
	if err := tx.SelectContext(ctx, &fs, factsHappened, site, kind, from, to); err != nil {
		return nil, fmt.Errorf("facts of kind %s of site %q: %w", kind, site, err)
	}
	return fs, nil
}

// Noted returns the facts that were recorded from one instant up to another, the
// latter left out, in order. The numbers of a ledger are in the order in which
// its facts were noted, so both ends are found by halving and nothing
// outside is read.
func Noted(ctx context.Context, tx *sqlx.Tx, site string, from, to measure.Instant) ([]ledger.Fact, error) {
	head, err := Head(ctx, tx, site)
	if err != nil || head.Noted < from {
		return nil, err
	}
	first, err := firstNoted(ctx, tx, head, from)
	if err != nil {
		return nil, err
	}
	behind, err := firstNoted(ctx, tx, head, to)
	if err != nil {
		return nil, err
	}
	var fs []ledger.Fact
	err = tx.SelectContext(ctx, &fs, `SELECT `+factColumns+` FROM fact
		WHERE site = $1 AND seq >= $2 AND seq < $3 ORDER BY seq`, site, first, behind)
	if err != nil {
		return nil, fmt.Errorf("facts noted at site %q: %w", site, err)
	}
	return fs, nil
}

// FirstNoted returns the number of the first fact of a site that was noted at an
// instant or later, one behind the last where there is none.
func FirstNoted(ctx context.Context, tx *sqlx.Tx, site string, from measure.Instant) (int64, error) {
	head, err := Head(ctx, tx, site)
	if err != nil {
		return 0, err
	}
	return firstNoted(ctx, tx, head, from)
}

// firstNoted returns the number of the first fact that was noted at an instant
// or later, one behind the head where there is none.
func firstNoted(ctx context.Context, tx *sqlx.Tx, head ledger.Head, from measure.Instant) (int64, error) {
	var err error
	n := sort.Search(int(head.Seq), func(i int) bool {
		var noted measure.Instant
		if err == nil {
			err = tx.GetContext(ctx, &noted, `SELECT noted_us FROM fact WHERE site = $1 AND seq = $2`, head.Site, i+1)
		}
		return noted >= from
	})
	if err != nil {
		return 0, fmt.Errorf("first fact noted at site %q: %w", head.Site, err)
	}
	return int64(n) + 1, nil
}
