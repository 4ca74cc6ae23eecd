package stockdb_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// A number that was on a label is never given to another bundle.
func TestShortCodeIsNeverGivenTwice(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, handle func() *db.DB) {
		t.Parallel()
		s := &site{t: t, db: handle(), name: "yard"}
		steps := []struct {
			do   func()
			want string
		}{
			{func() {}, inventory.ShortCode('B', 1)},
			{func() { s.do(can("7B21", inventory.ShortCode('B', 1), 50)) }, inventory.ShortCode('B', 2)},
			{func() { s.do(can("7B21", "K1", 50)) }, inventory.ShortCode('B', 2)},
			{func() { s.do(can("7B21", inventory.ShortCode('B', 41), 50)) }, inventory.ShortCode('B', 42)},
			{func() { s.do(can("7B21", inventory.ShortCode('B', 7), 50)) }, inventory.ShortCode('B', 42)},
			{func() { s.forget("7B21") }, inventory.ShortCode('B', 42)},
		}
		for i, step := range steps {
			step.do()
			if got := s.nextCode('B'); got != step.want {
				t.Errorf("step %d: next code %s, want %s", i, got, step.want)
			}
		}
		if got, want := s.nextCode('S'), inventory.ShortCode('S', 1); got != want {
			t.Errorf("next slip %s, want %s", got, want)
		}
	})
}

func (s *site) nextCode(kind byte) (code string) {
	s.t.Helper()
	s.read(func(tx *sqlx.Tx) (err error) {
		code, err = stockdb.NextCode(s.t.Context(), tx, s.name, kind)
		return err
	})
	return code
}

// forget drops what is known of a lot.
func (s *site) forget(lot string) {
	s.t.Helper()
	err := s.db.Write(s.t.Context(), func(tx *sqlx.Tx) error { return stockdb.ForgetLot(s.t.Context(), tx, s.name, lot) })
	if err != nil {
		s.t.Fatal(err)
	}
}

// Rods that were parted and joined have their past in common, once.
func TestJoinedRodsShareTheirPast(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, handle func() *db.DB) {
		t.Parallel()
		s := &site{t: t, db: handle(), name: "yard"}
		s.do(can("7B21", "K1", 50), open("K1"), issue("S1", "K1", 10), back("S1", "R1", 4, 6),
			&inventory.Joined{Bundles: []string{"K1", "R1"}, As: "J1"}, &inventory.WentWet{Bundle: "J1"})
		end := noon.Add(24 * measure.Hour)
		histories := stockdb.NewHistories(s.name, end)
		var h *inventory.History
		s.read(func(tx *sqlx.Tx) (err error) {
			h, err = histories.Of(t.Context(), tx, "J1")
			return err
		})
		if len(h.Origins) != 2 || len(h.Events) != 1 || len(h.Stays) != 1 {
			t.Fatalf("J1 came of %d bundles, had %d stays and %d events, want 2, 1 and 1", len(h.Origins), len(h.Stays), len(h.Events))
		}
		can, returned := h.Origins[0].History, h.Origins[1].History
		if slip := returned.Origins[0].History; slip.Origins[0].History != can {
			t.Errorf("the can's history is there twice")
		}
		for _, c := range []struct {
			bundle string
			until  measure.Instant
			stays  int
		}{{"K1", end, 2}, {"K1", noon.Add(measure.Hour), 1}, {"R1", end, 1}, {"R1", noon.Add(3 * measure.Hour), 0}} {
			if got := s.stays(c.bundle, c.until); len(got) != c.stays {
				t.Errorf("%s had %d stays by %v, want %d", c.bundle, len(got), c.until, c.stays)
			}
		}
		if diff := cmp.Diff([]string{"J1", "S1"}, s.children("K1")); diff != "" {
			t.Errorf("bundles made of K1 (-want +got):\n%s", diff)
		}
	})
}

func (s *site) stays(bundle string, until measure.Instant) (list []inventory.Stay) {
	s.t.Helper()
	s.read(func(tx *sqlx.Tx) (err error) {
		list, err = stockdb.Stays(s.t.Context(), tx, s.name, bundle, until)
		return err
	})
	return list
}

// children are the bundles that rods of one went into, by name.
func (s *site) children(bundle string) (codes []string) {
	s.t.Helper()
	s.read(func(tx *sqlx.Tx) (err error) {
		codes, err = stockdb.Children(s.t.Context(), tx, s.name, bundle)
		slices.Sort(codes)
		return err
	})
	return codes
}

// However many bundles a site ever had, those of one past are looked up by their
// names, without statistics to help the planner.
func TestPastIsLookedUpByName(t *testing.T) {
	t.Parallel()
	d := dbtest.SQLite(t)
	s := &site{t: t, db: d, name: "yard"}
	for _, query := range stockdb.PastQueries {
		var steps []struct {
			ID, Parent, NotUsed int
			Detail              string
		}
		s.read(func(tx *sqlx.Tx) error {
			return tx.SelectContext(t.Context(), &steps, `EXPLAIN QUERY PLAN `+query, "yard", noon, "K1")
		})
		for _, step := range steps {
			table, search := strings.CutPrefix(step.Detail, "SEARCH ")
			if search && !strings.Contains(table, "bundle=?") || strings.HasPrefix(step.Detail, "SCAN") && step.Detail != "SCAN p" {
				t.Errorf("%s: %s", query, step.Detail)
			}
		}
	}
}
