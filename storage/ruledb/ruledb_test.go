package ruledb_test

import (
	"errors"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/ledger"
	"ovenward/inventory/ledgerdb"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
	"ovenward/storage/ruledb"
	"ovenward/storage/rules"
)

const noon measure.Instant = 1749124800 * 1_000_000

// site is a site whose facts about rule sets are applied one by one.
type site struct {
	t    *testing.T
	db   *db.DB
	name string
}

func newSite(t *testing.T, d *db.DB, name string) *site {
	s := &site{t, d, name}
	s.write(func(tx *sqlx.Tx) error { // a site's settings stand on the head of its ledger
		_, err := ledgerdb.Lock(t.Context(), tx, name)
		return err
	})
	return s
}

func (s *site) write(fn func(tx *sqlx.Tx) error) {
	s.t.Helper()
	if err := s.db.Write(s.t.Context(), fn); err != nil {
		s.t.Fatal(err)
	}
}

func (s *site) apply(entries ...inventory.Entry) {
	s.t.Helper()
	s.write(func(tx *sqlx.Tx) error {
		for _, e := range entries {
			f := ledger.Fact{Site: s.name, Kind: e.Kind(), At: noon, By: "QA"}
			if err := ruledb.Apply(s.t.Context(), tx, f, e); err != nil {
				return err
			}
		}
		return nil
	})
}

func (s *site) read(fn func(tx *sqlx.Tx) error) error {
	s.t.Helper()
	return s.db.Read(s.t.Context(), fn)
}

func (s *site) forJob(job string) (id string) {
	s.t.Helper()
	err := s.read(func(tx *sqlx.Tx) (err error) {
		id, err = ruledb.ForJob(s.t.Context(), tx, s.name, job)
		return err
	})
	if err != nil {
		s.t.Fatal(err)
	}
	return id
}

// A set comes back as it was approved, byte for byte, with who approved it.
func TestApprovedSetComesBackAsItWas(t *testing.T) {
	t.Parallel()
	set, err := rules.Shipped("reference-running")
	if err != nil {
		t.Fatal(err)
	}
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		s := newSite(t, open(), "yard")
		s.apply(&inventory.SiteSet{Zone: "America/Halifax", Units: "US"},
			&inventory.RulesApproved{ID: set.ID, Edition: set.Edition, Digest: set.Digest, Text: set.Text})
		want := ruledb.Approved{ID: set.ID, Edition: set.Edition, Digest: set.Digest, Body: set.Text, By: "QA", At: noon}
		err := s.read(func(tx *sqlx.Tx) error {
			got, err := ruledb.Find(t.Context(), tx, "yard", set.ID)
			if diff := cmp.Diff(want, got); diff != "" {
				t.Errorf("approved (-want +got):\n%s", diff)
			}
			if err != nil {
				return err
			}
			all, err := ruledb.All(t.Context(), tx, "yard")
			if len(all) != 1 || all[0] != want {
				t.Errorf("All() = %v, want the one", all)
			}
			again, err2 := got.Set()
			if err2 != nil || again.Digest != set.Digest {
				t.Errorf("read again its digest is %s, %v, want %s", again.Digest, err2, set.Digest)
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	})
}

// The set in force is the job's own, or the site's.
func TestJobGoesBeforeSite(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		d := open()
		s, other := newSite(t, d, "yard"), newSite(t, d, "annex")
		s.apply(&inventory.SiteSet{Zone: "America/Halifax", Units: "SI"})
		other.apply(&inventory.SiteSet{Zone: "Europe/Oslo", Units: "SI"})
		if got := s.forJob("J7"); got != "" {
			t.Errorf("before any set is in force: %q", got)
		}
		s.apply(&inventory.RulesUsed{Rules: "a"}, &inventory.RulesUsed{Rules: "b", Job: "J7"})
		for job, want := range map[string]string{"": "a", "J7": "b", "J8": "a"} {
			if got := s.forJob(job); got != want {
				t.Errorf("for job %q: %q, want %q", job, got, want)
			}
		}
		s.apply(&inventory.RulesUsed{Rules: "c", Job: "J7"}, &inventory.RulesUsed{Rules: "d"}, &inventory.SiteSet{Zone: "Europe/Oslo", Units: "SI"})
		for job, want := range map[string]string{"": "d", "J7": "c"} {
			if got := s.forJob(job); got != want {
				t.Errorf("after the change, for job %q: %q, want %q", job, got, want)
			}
		}
		if got := other.forJob("J7"); got != "" {
			t.Errorf("another site's job has %q in force, want none", got)
		}
	})
}

func TestMissingIsNotFound(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		s := newSite(t, open(), "yard")
		err := s.read(func(tx *sqlx.Tx) error {
			_, settings := ruledb.Settings(t.Context(), tx, "yard")
			_, set := ruledb.Find(t.Context(), tx, "yard", "reference-running")
			_, job := ruledb.ForJob(t.Context(), tx, "yard", "J7")
			for _, err := range []error{settings, set, job} {
				if !errors.Is(err, db.ErrNotFound) {
					t.Errorf("%v, want %v", err, db.ErrNotFound)
				}
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	})
}
