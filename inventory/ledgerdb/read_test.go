package ledgerdb_test

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/jmoiron/sqlx"

	"ovenward/inventory/ledger"
	"ovenward/inventory/ledgerdb"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// More than one page of Each, at one of two sites.
func TestFactsAreReadInOrderAndByNumber(t *testing.T) {
	t.Parallel()
	const n = 1234
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		addIssues(t, d, "annex", 3)
		want := addIssues(t, d, "yard", n)
		if diff := cmp.Diff(want, allFacts(t, d, "yard")); diff != "" {
			t.Errorf("Each (-want +got):\n%s", diff)
		}
		read(t, d, func(tx *sqlx.Tx) error {
			page, err := ledgerdb.Page(t.Context(), tx, "yard", 1000, 3)
			if !slices.Equal(page, want[1000:1003]) {
				t.Errorf("Page(1000, 3) = %+v", page)
			}
			if err != nil {
				return err
			}
			recent, err := ledgerdb.Recent(t.Context(), tx, "yard", 2)
			if !slices.Equal(recent, []ledger.Fact{want[n-1], want[n-2]}) {
				t.Errorf("Recent(2) = %+v", recent)
			}
			if err != nil {
				return err
			}
			heads, err := ledgerdb.Heads(t.Context(), tx)
			if len(heads) != 2 || heads[0].Site != "annex" || heads[1] != want[n-1].Head() {
				t.Errorf("Heads() = %+v", heads)
			}
			return err
		})
	})
}

func TestEachMayUseTheTransactionAndStops(t *testing.T) {
	t.Parallel()
	enough := errors.New("enough")
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		addIssues(t, d, "yard", 10)
		var seen []int64
		err := d.Read(t.Context(), func(tx *sqlx.Tx) error {
			seen = nil
			return ledgerdb.Each(t.Context(), tx, "yard", 4, func(f ledger.Fact) error {
				if _, err := ledgerdb.ByID(t.Context(), tx, "yard", f.ID); err != nil {
					return err
				}
				seen = append(seen, f.Seq)
				if f.Seq == 7 {
					return enough
				}
				return nil
			})
		})
		if err != enough || !slices.Equal(seen, []int64{5, 6, 7}) {
			t.Errorf("saw %v and ended with %v, want 5 to 7 and fn's own error", seen, err)
		}
	})
}

func TestUnknownIDIsNotFound(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		addIssues(t, d, "annex", 1)
		err := d.Read(t.Context(), func(tx *sqlx.Tx) error {
			_, err := ledgerdb.ByID(t.Context(), tx, "yard", id(1))
			return err
		})
		if !errors.Is(err, db.ErrNotFound) || !strings.Contains(err.Error(), id(1)) {
			t.Errorf("error %v, want %v with the id", err, db.ErrNotFound)
		}
	})
}

// No question that a person waits for reads the whole ledger, on either engine.
func TestReadsUseAnIndex(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		addIssues(t, d, "yard", 10)
		for _, q := range []struct {
			text string
			args []any
		}{
			{ledgerdb.FactByID, []any{"yard", id(1)}}, {ledgerdb.FactThatNamed, []any{"yard", id(1)}},
			{ledgerdb.FactsAfter, []any{"yard", 5, 5}}, {ledgerdb.FactsNewest, []any{"yard", 5}},
		} {
			plan := explain(t, d, q.text, q.args...)
			if !strings.Contains(plan, "SEARCH fact USING INDEX") && !strings.Contains(plan, "Index Scan") ||
				strings.Contains(plan, "Sort") || strings.Contains(plan, "TEMP B-TREE") {
				t.Errorf("%s\n%s", q.text, plan)
			}
		}
	})
}

func explain(t *testing.T, d *db.DB, query string, args ...any) string {
	t.Helper()
	var plan strings.Builder
	read(t, d, func(tx *sqlx.Tx) error {
		plan.Reset()
		prefix := `EXPLAIN QUERY PLAN `
		if d.Engine() == db.Postgres {
			prefix = `EXPLAIN `
			// Ten rows are read whole otherwise; what counts is that an index fits.
			if _, err := tx.Exec(`SET LOCAL enable_seqscan = off`); err != nil {
				return err
			}
		}
		rows, err := tx.Query(prefix+query, args...)
		if err != nil {
			return err
		}
		defer rows.Close()
		columns, err := rows.Columns()
		if err != nil {
			return err
		}
		cells := make([]any, len(columns))
		for i := range cells {
			cells[i] = new(any)
		}
		for rows.Next() {
			if err := rows.Scan(cells...); err != nil {
				return err
			}
			fmt.Fprintln(&plan, *cells[len(cells)-1].(*any))
		}
		return rows.Err()
	})
	return plan.String()
}
