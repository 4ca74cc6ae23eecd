package ledgerdb_test

import (
	"errors"
	"fmt"
	"testing"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory/ledger"
	"ovenward/inventory/ledgerdb"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
)

// noon is 2025-06-05 12:00 UTC.
const noon measure.Instant = 1749124800 * 1_000_000

// id returns the n-th id of a row of plain ones.
func id(n int) string { return fmt.Sprintf("01974000-0000-7000-8000-%012x", n) }

func issueDraft(n int) ledger.Draft {
	at := noon.Add(measure.Duration(n) * measure.Second)
	return ledger.Draft{
		ID: id(n), Kind: "issue", At: at, Noted: at.Add(measure.Second), By: "R. Oakes", Via: "window-1",
		Body: fmt.Sprintf(`{"slip":"S%d","pieces":40,"welder":"W3","joints":["J-101"]}`, n),
	}
}

// correction supersedes the fact of issueDraft(of).
func correction(n, of int) ledger.Draft {
	d := issueDraft(n)
	d.Kind, d.Supersedes, d.Reason = "correct", id(of), "counted again"
	return d
}

// add appends drafts to a site's ledger in one transaction.
func add(t testing.TB, d *db.DB, site string, drafts ...ledger.Draft) []ledger.Fact {
	t.Helper()
	var facts []ledger.Fact
	err := d.Write(t.Context(), func(tx *sqlx.Tx) error {
		facts = nil
		h, err := ledgerdb.Lock(t.Context(), tx, site)
		for _, draft := range drafts {
			if err != nil {
				return err
			}
			var f ledger.Fact
			f, err = ledgerdb.Append(t.Context(), tx, h, draft)
			facts, h = append(facts, f), f.Head()
		}
		return err
	})
	if err != nil {
		t.Fatalf("append to %s: %v", site, err)
	}
	return facts
}

func addIssues(t testing.TB, d *db.DB, site string, n int) []ledger.Fact {
	t.Helper()
	drafts := make([]ledger.Draft, n)
	for i := range drafts {
		drafts[i] = issueDraft(i + 1)
	}
	return add(t, d, site, drafts...)
}

// read runs fn in a Read and fails the test if fn fails.
func read(t testing.TB, d *db.DB, fn func(tx *sqlx.Tx) error) {
	t.Helper()
	if err := d.Read(t.Context(), fn); err != nil {
		t.Fatal(err)
	}
}

// allFacts returns a site's ledger as Each gives it.
func allFacts(t testing.TB, d *db.DB, site string) []ledger.Fact {
	t.Helper()
	var facts []ledger.Fact
	read(t, d, func(tx *sqlx.Tx) error {
		facts = nil
		return ledgerdb.Each(t.Context(), tx, site, 0, func(f ledger.Fact) error {
			facts = append(facts, f)
			return nil
		})
	})
	return facts
}

// verify returns what Verify returns.
func verify(t testing.TB, d *db.DB, site string) (h ledger.Head, err error) {
	t.Helper()
	err = d.Read(t.Context(), func(tx *sqlx.Tx) error {
		h, err = ledgerdb.Verify(t.Context(), tx, site)
		return err
	})
	return h, err
}

var errUndo = errors.New("undo")

// undone runs fn in a Write that is rolled back.
func undone(t testing.TB, d *db.DB, fn func(tx *sqlx.Tx) error) {
	t.Helper()
	err := d.Write(t.Context(), func(tx *sqlx.Tx) error {
		if err := fn(tx); err != nil {
			return err
		}
		return errUndo
	})
	if !errors.Is(err, errUndo) {
		t.Fatal(err)
	}
}
