package plandb_test

import (
	"context"
	"errors"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/jmoiron/sqlx"

	"ovenward/forecast/plandb"
	"ovenward/inventory/ledgerdb"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// noon is 2025-06-05 12:00 UTC.
const noon measure.Instant = 1749124800 * 1_000_000

// load stores a file as a person's load does: behind the site's lock.
func load(ctx context.Context, d *db.DB, site string, r plandb.Revision) (stored plandb.Revision, err error) {
	err = d.Write(ctx, func(tx *sqlx.Tx) error {
		if _, err := ledgerdb.Lock(ctx, tx, site); err != nil {
			return err
		}
		stored, err = plandb.Append(ctx, tx, site, r)
		return err
	})
	return stored, err
}

func mustLoad(t *testing.T, d *db.DB, site string, r plandb.Revision) plandb.Revision {
	t.Helper()
	stored, err := load(t.Context(), d, site, r)
	if err != nil {
		t.Fatal(err)
	}
	return stored
}

func newest(t *testing.T, d *db.DB, site string) (r plandb.Revision, err error) {
	t.Helper()
	err = d.Read(t.Context(), func(tx *sqlx.Tx) error {
		r, err = plandb.Newest(t.Context(), tx, site)
		return err
	})
	return r, err
}

func find(t *testing.T, d *db.DB, site string, n int64) (r plandb.Revision, err error) {
	t.Helper()
	err = d.Read(t.Context(), func(tx *sqlx.Tx) error {
		r, err = plandb.Find(t.Context(), tx, site, n)
		return err
	})
	return r, err
}

func revision(name, file string) plandb.Revision {
	return plandb.Revision{Loaded: noon, By: "R. Oakes", Name: name, File: []byte(file), Joints: 5, Unread: 1}
}

func TestNewestRevisionIsThePlan(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		first := mustLoad(t, d, "yard", revision("spring.csv", "job,joint\n"))
		second := mustLoad(t, d, "yard", revision("summer.csv", "job,joint\nBarge 12,B1\n"))
		if first.Number != 1 || second.Number != 2 {
			t.Errorf("revisions %d and %d, want 1 and 2", first.Number, second.Number)
		}
		got, err := newest(t, open(), "yard")
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(got, second); diff != "" {
			t.Errorf("Newest (-got +want):\n%s", diff)
		}
		got, err = find(t, d, "yard", 1)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(got, first); diff != "" {
			t.Errorf("Find(1) (-got +want):\n%s", diff)
		}
	})
}

// TestFileIsKeptByteForByte holds for files that are no UTF-8 text in one of
// their rows: such a row is reported and not read, and the file loads.
func TestFileIsKeptByteForByte(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		file := "\ufeffjob;joint\r\nR\xe9servoir\x1b[31m\x00;'; DROP TABLE plan; --\r\n"
		mustLoad(t, d, "yard", revision("été \"1\".csv", file))
		got, err := newest(t, d, "yard")
		if err != nil {
			t.Fatal(err)
		}
		if string(got.File) != file || got.Name != "été \"1\".csv" {
			t.Errorf("file %q under %q, want %q", got.File, got.Name, file)
		}
	})
}

func TestSitesHavePlansOfTheirOwn(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		mustLoad(t, d, "yard", revision("yard.csv", "y"))
		if _, err := newest(t, d, "dock"); !errors.Is(err, db.ErrNotFound) {
			t.Errorf("Newest of a site without a plan: %v, want ErrNotFound", err)
		}
		if r := mustLoad(t, d, "dock", revision("dock.csv", "d")); r.Number != 1 {
			t.Errorf("first revision of the other site is %d, want 1", r.Number)
		}
		if _, err := find(t, d, "yard", 2); !errors.Is(err, db.ErrNotFound) {
			t.Errorf("Find(2): %v, want ErrNotFound", err)
		}
	})
}

// TestNothingIsHalfLoaded holds that a load which fails at any later step
// leaves the plan that was there.
func TestNothingIsHalfLoaded(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		want := mustLoad(t, d, "yard", revision("spring.csv", "s"))
		broken := errors.New("the printer burns")
		err := d.Write(t.Context(), func(tx *sqlx.Tx) error {
			if _, err := ledgerdb.Lock(t.Context(), tx, "yard"); err != nil {
				return err
			}
			if _, err := plandb.Append(t.Context(), tx, "yard", revision("summer.csv", "u")); err != nil {
				return err
			}
			return broken
		})
		if !errors.Is(err, broken) {
			t.Fatalf("Write: %v, want %v", err, broken)
		}
		got, err := newest(t, d, "yard")
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(got, want); diff != "" {
			t.Errorf("Newest (-got +want):\n%s", diff)
		}
	})
}

func TestStoreRefusesWhatIsNoPlan(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		for name, spoil := range map[string]func(*plandb.Revision){
			"nobody":        func(r *plandb.Revision) { r.By = "" },
			"no name":       func(r *plandb.Revision) { r.Name = "" },
			"empty file":    func(r *plandb.Revision) { r.File = []byte{} },
			"no joint":      func(r *plandb.Revision) { r.Joints = 0 },
			"less than all": func(r *plandb.Revision) { r.Unread = -1 },
		} {
			r := revision("spring.csv", "s")
			spoil(&r)
			if _, err := load(t.Context(), d, "yard", r); err == nil {
				t.Errorf("%s: stored, want an error", name)
			}
		}
		if _, err := newest(t, d, "yard"); !errors.Is(err, db.ErrNotFound) {
			t.Errorf("Newest: %v, want ErrNotFound", err)
		}
	})
}

// TestLoadsAtOnceTakeTheirOwnNumbers loads from several handles together.
func TestLoadsAtOnceTakeTheirOwnNumbers(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		const loads = 8
		numbers := make([]int64, loads)
		var all sync.WaitGroup
		for i := range loads {
			d := open()
			all.Go(func() {
				r, err := load(t.Context(), d, "yard", revision("spring.csv", "s"))
				if err != nil {
					t.Errorf("load %d: %v", i, err)
				}
				numbers[i] = r.Number
			})
		}
		all.Wait()
		seen := map[int64]bool{}
		for _, n := range numbers {
			if n < 1 || n > loads || seen[n] {
				t.Errorf("numbers %v, want each of 1 to %d once", numbers, loads)
				break
			}
			seen[n] = true
		}
	})
}
