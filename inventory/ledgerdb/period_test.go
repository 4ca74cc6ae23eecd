package ledgerdb_test

import (
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/jmoiron/sqlx"

	"ovenward/inventory/ledger"
	"ovenward/inventory/ledgerdb"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// draftAt is a fact of a kind that happened at one instant and was noted at
// another.
func draftAt(n int, kind string, at, noted measure.Instant) ledger.Draft {
	d := issueDraft(n)
	d.Kind, d.At, d.Noted = kind, at, noted
	return d
}

func seqs(facts []ledger.Fact) (out []int64) {
	for _, f := range facts {
		out = append(out, f.Seq)
	}
	return out
}

// A fact is found by when it happened, however late it was entered, and the
// correction of a fact stands in its place.
func TestHappenedIsByWhenItWasAndAsItStands(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		corrected := draftAt(6, "count", 25, 60)
		corrected.Supersedes, corrected.Reason = id(2), "miscounted"
		add(t, d, "yard", draftAt(1, "count", 10, 10), draftAt(2, "count", 20, 20), draftAt(3, "scrap", 20, 30),
			draftAt(4, "count", 15, 40), draftAt(5, "count", 30, 50), corrected)
		read(t, d, func(tx *sqlx.Tx) error {
			got, err := ledgerdb.Happened(t.Context(), tx, "yard", "count", 10, 30)
			if diff := cmp.Diff([]int64{1, 4, 6}, seqs(got)); diff != "" {
				t.Errorf("from 10 up to 30 (-want +got):\n%s", diff)
			}
			return err
		})
	})
}

func TestNotedFindsBothEnds(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		for n := range 20 { // noted at 0, 0, 10, 10, 20, 20 ... 90, 90
			add(t, d, "yard", draftAt(n+1, "count", 0, measure.Instant(n/2*10)))
		}
		for _, c := range []struct {
			from, to measure.Instant
			want     []int64
		}{
			{20, 40, []int64{5, 6, 7, 8}}, {21, 30, nil}, {0, 1, []int64{1, 2}}, {90, 1000, []int64{19, 20}}, {91, 1000, nil}, {40, 20, nil},
		} {
			t.Run(fmt.Sprint(c.from, " to ", c.to), func(t *testing.T) {
				read(t, d, func(tx *sqlx.Tx) error {
					got, err := ledgerdb.Noted(t.Context(), tx, "yard", c.from, c.to)
					if diff := cmp.Diff(c.want, seqs(got)); diff != "" {
						t.Errorf("(-want +got):\n%s", diff)
					}
					return err
				})
			})
		}
		read(t, d, func(tx *sqlx.Tx) error {
			got, err := ledgerdb.Noted(t.Context(), tx, "a site without facts", 0, 100)
			if len(got) > 0 {
				t.Errorf("facts %v of a site that has none", seqs(got))
			}
			return err
		})
	})
}
