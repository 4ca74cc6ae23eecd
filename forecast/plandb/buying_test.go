package plandb_test

import (
	"errors"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/jmoiron/sqlx"

	"ovenward/forecast/plandb"
	"ovenward/inventory/ledgerdb"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

func TestTheBuyersLastFileHolds(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d, ctx := open(), t.Context()
		newest := func(site string) (b plandb.Buying, err error) {
			err = d.Read(ctx, func(tx *sqlx.Tx) error {
				b, err = plandb.NewestBuying(ctx, tx, site)
				return err
			})
			return b, err
		}
		if _, err := newest("yard"); !errors.Is(err, db.ErrNotFound) {
			t.Errorf("before the first load: %v, want ErrNotFound", err)
		}
		var want plandb.Buying
		for _, text := range []string{"a = 1\n", "a = 2 # \xff\n"} {
			err := d.Write(ctx, func(tx *sqlx.Tx) error {
				if _, err := ledgerdb.Lock(ctx, tx, "yard"); err != nil {
					return err
				}
				var err error
				want, err = plandb.AppendBuying(ctx, tx, "yard", plandb.Buying{Loaded: noon, By: "B. Reed", Name: "buy.toml", File: []byte(text)})
				return err
			})
			if err != nil {
				t.Fatal(err)
			}
		}
		got, err := newest("yard")
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(want, got); diff != "" || got.Number != 2 {
			t.Errorf("newest, number %d (-want +got):\n%s", got.Number, diff)
		}
		if _, err := newest("pier"); !errors.Is(err, db.ErrNotFound) {
			t.Errorf("another site: %v, want ErrNotFound", err)
		}
	})
}
