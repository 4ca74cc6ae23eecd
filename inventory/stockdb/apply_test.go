package stockdb_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// A fact that cannot have happened after those before it is told apart from an
// error of the database, and changes nothing.
func TestImpossibleFactIsNamed(t *testing.T) {
	t.Parallel()
	cases := []struct {
		name   string
		before []inventory.Entry
		fact   inventory.Entry
		want   string
	}{
		{"a bundle that there is not", nil, open("K9"), "not found"},
		{"a place that there is not", nil, &inventory.Moved{Bundle: "K1", Into: "H9"}, "not found"},
		{"a lot that nothing came of", nil, &inventory.LotReleased{Lot: "9999"}, "not found"},
		{"more than there is", nil, issue("S1", "K1", 51), "check failed"},
		{"a name that is taken", nil, can("7B21", "K1", 5), "duplicate"},
		{"a name that a slip has", []inventory.Entry{issue("S1", "K1", 10)}, can("7B21", "S1", 5), "duplicate"},
		{"out of a bundle that is used up", []inventory.Entry{issue("S1", "K1", 50)}, issue("S2", "K1", 1), "not-enough"},
		{"out of rods that are out", []inventory.Entry{issue("S1", "K1", 10)}, issue("S2", "S1", 1), "impossible-order"},
		{"scrap of rods that are out", []inventory.Entry{issue("S1", "K1", 10)}, &inventory.Scrapped{Bundle: "S1"}, "impossible-order"},
		{"bake of rods that are out", []inventory.Entry{issue("S1", "K1", 10)},
			&inventory.Baked{Bundle: "S1", Place: inventory.Store, Set: "300 C"}, "impossible-order"},
		{"back twice", []inventory.Entry{issue("S1", "K1", 10), back("S1", "R1", 10, 0)}, back("S1", "R2", 1, 0), "not-enough"},
		{"back of rods that are in the crib", []inventory.Entry{issue("S1", "K1", 10), &inventory.Moved{Bundle: "S1", Into: inventory.Store}},
			back("S1", "R1", 10, 0), "unknown"},
		{"more back than went out", []inventory.Entry{issue("S1", "K1", 10)}, back("S1", "R1", 5, 6), "balance"},
		{"some of a package that is closed", nil, &inventory.Moved{Bundle: "K1", Into: inventory.Store, Pieces: 5, As: "P1"}, "impossible-order"},
		{"scrap of some of a package that is closed", nil, &inventory.Scrapped{Bundle: "K1", Pieces: 5}, "impossible-order"},
		{"lots together", []inventory.Entry{open("K1"), open("K2")}, &inventory.Joined{Bundles: []string{"K1", "K2"}, As: "P1"}, "wrong-class"},
		{"a closed package with an open one", []inventory.Entry{open("K1")}, &inventory.Joined{Bundles: []string{"K1", "K3"}, As: "P1"}, "impossible-order"},
		{"rods found where none were left", []inventory.Entry{issue("S1", "K1", 50)}, &inventory.Counted{Bundle: "K1", Pieces: 1}, "balance"},
		{"none found where none were left", []inventory.Entry{issue("S1", "K1", 50)}, &inventory.Counted{Bundle: "K1"}, "taken"},
	}
	dbtest.Each(t, func(t *testing.T, handle func() *db.DB) {
		t.Parallel()
		d := handle()
		for _, c := range cases {
			t.Run(c.name, func(t *testing.T) {
				s := &site{t: t, db: d, name: c.name}
				s.do(can("7B21", "K1", 50), can("7B22", "K2", 50), can("7B21", "K3", 50))
				s.do(c.before...)
				before := s.rows()
				err := s.apply(c.fact)
				if got := what(err); got != c.want {
					t.Errorf("%v, want %s", err, c.want)
				}
				if diff := cmp.Diff(before, s.rows()); err != nil && diff != "" {
					t.Errorf("the tables changed (-before +after):\n%s", diff)
				}
			})
		}
	})
}

// A month of entries comes to the same whether each is applied by itself or all
// in one batch.
func TestBatchAppliesAsOneByOne(t *testing.T) {
	t.Parallel()
	entries := []inventory.Entry{
		can("7B21", "B0001-G", 50), &inventory.LotReleased{Lot: "7B21"}, open("B0001-G"), issue("S0001-R", "B0001-G", 20),
		back("S0001-R", "R1", 8, 10), &inventory.Moved{Bundle: "R1", Into: inventory.Store, Pieces: 3, As: "P1"},
		&inventory.Joined{Bundles: []string{"R1", "P1"}, As: "R2"}, &inventory.WentWet{Bundle: "R2"},
		&inventory.Scrapped{Bundle: "R2", Pieces: 2, Why: "rain"}, &inventory.Counted{Bundle: "B0001-G", Pieces: 29},
		&inventory.HeldBack{Bundle: "B0001-G", Why: "dented"}, &inventory.HeldBack{Lot: "7B21", Why: "certificate"},
		&inventory.Decision{Bundle: "B0001-G", Disposition: "release", Why: "looked at", Proposer: "A1"},
		&inventory.Baked{Bundle: "R2", Place: inventory.Store, Set: "300 C", Layers: 2, Load: "5 kg"},
		issue("S2", "B0001-G", 29),
	}
	dbtest.Each(t, func(t *testing.T, handle func() *db.DB) {
		t.Parallel()
		d := handle()
		one, all := &site{t: t, db: d, name: "one"}, &site{t: t, db: d, name: "all"}
		one.do(entries...)
		err := d.Write(t.Context(), func(tx *sqlx.Tx) error {
			b := stockdb.NewBatch(t.Context(), tx, all.name)
			all.seq = 0
			for _, e := range entries {
				if err := b.Apply(all.next(), e); err != nil {
					return err
				}
			}
			return b.Close()
		})
		if err != nil {
			t.Fatal(err)
		}
		got, want := all.rows(), one.rows()
		for i := range want {
			want[i].Text = "|all" + want[i].Text[len("|one"):]
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("in a batch (-one by one +batch):\n%s", diff)
		}
		for _, left := range []string{"S0001-R", "R1", "P1", "B0001-G"} {
			if b := all.bundle(left); !b.Empty() {
				t.Errorf("%d left of %s, want none", b.Pieces, left)
			}
		}
	})
}

// A slip is closed when the last of its rods left it, however they were parted.
func TestSlipClosesWithTheLastOfItsRods(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, handle func() *db.DB) {
		t.Parallel()
		s := &site{t: t, db: handle(), name: "yard"}
		s.do(can("7B21", "K1", 50), issue("S1", "K1", 20), &inventory.Moved{Bundle: "S1", Into: "open air", Pieces: 5, As: "P1"})
		s.do(back("S1", "R1", 6, 9))
		if closed := s.slip("S1").Closed; closed != 0 {
			t.Errorf("closed at %v with 5 rods out", closed)
		}
		s.do(&inventory.Moved{Bundle: "P1", Into: inventory.Store})
		got, want := s.slip("S1"), inventory.Balance{Unused: 11, Stubs: 9}
		if got.Back != want || got.Closed != noon.Add(5*measure.Hour) {
			t.Errorf("back %+v, closed %v; want %+v when the last came in", got.Back, got.Closed, want)
		}
		if b := s.bundle("P1"); b.Slip != "" || !b.Returned {
			t.Errorf("P1 is out on %q, returned %v; want it in the crib as returned", b.Slip, b.Returned)
		}
	})
}

func (s *site) slip(code string) (slip inventory.Slip) {
	s.t.Helper()
	s.read(func(tx *sqlx.Tx) (err error) {
		slip, err = stockdb.Slip(s.t.Context(), tx, s.name, code)
		return err
	})
	return slip
}
