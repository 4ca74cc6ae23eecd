package plandb_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/jmoiron/sqlx"

	"ovenward/forecast/plandb"
	"ovenward/inventory/ledgerdb"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// TestAForecastIsKeptAsItWasTold keeps two, and finds the weeks of each.
func TestAForecastIsKeptAsItWasTold(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d, ctx := open(), t.Context()
		rod := plandb.ToldWeek{Monday: "2025-06-09", Class: "E7018", Diameter: 3_175_000, Mean: 40_500, P50: 40_000, P90: 61_000}
		flux := plandb.ToldWeek{Monday: "2025-06-16", Class: "F7A2-EM12K", P90: 9_000_000}
		err := d.Write(ctx, func(tx *sqlx.Tx) error {
			if _, err := ledgerdb.Lock(ctx, tx, "yard"); err != nil {
				return err
			}
			for n := range 2 {
				told := plandb.Told{At: noon.Add(measure.Duration(n) * measure.Day), By: "B. Reed", Revision: 1, Weeks: 13}
				got, err := plandb.AppendTold(ctx, tx, "yard", told, []plandb.ToldWeek{rod, flux})
				if err != nil {
					return err
				}
				if got.Number != int64(n+1) {
					t.Errorf("number %d, want %d", got.Number, n+1)
				}
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
		err = d.Read(ctx, func(tx *sqlx.Tx) error {
			all, err := plandb.ToldSince(ctx, tx, "yard", noon+1)
			if err != nil {
				return err
			}
			if len(all) != 1 || all[0].Number != 2 || all[0].By != "B. Reed" || all[0].Weeks != 13 {
				t.Errorf("told since: %+v, want the second", all)
			}
			weeks, err := plandb.ToldWeeks(ctx, tx, "yard", 1, "2025-06-09")
			if diff := cmp.Diff(weeks, []plandb.ToldWeek{rod}); diff != "" {
				t.Errorf("its week (-got +want):\n%s", diff)
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	})
}
