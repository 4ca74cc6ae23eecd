package app_test

import (
	"strings"
	"testing"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
	"ovenward/storage/rules"
)

// Rows that no shipped set of the reference rules has.
const apartRows = `
[[co_storage]]
row = "rebaked-apart"
family = ["low-hydrogen"]
places = ["holding oven"]
apart = "bakes"
warn = true
why = "they go out first and are baked no more"
source = "a project procedure"
status = "single-source"

[[co_storage]]
row = "flux-apart"
family = ["saw-flux"]
with_family = ["low-hydrogen"]
places = ["holding oven"]
why = "flux has an oven of its own"
source = "shop practice"
status = "shop"
`

// newShopWith is newShop with rows added to its rule set.
func newShopWith(t tb, d *db.DB, site, rows string) *shop {
	t.Helper()
	set, err := rules.Shipped("reference-running")
	if err != nil {
		t.Fatal(err)
	}
	if set, err = rules.Parse("with rows", []byte(set.Text+rows)); err != nil {
		t.Fatal(err)
	}
	s := newShopOn(t, d, site)
	for _, e := range setUp(set) {
		s.do(e)
	}
	s.hot(opens, opens.Add(3*measure.Day))
	return s
}

func TestRebakedBesideNeverBakedIsWarnedOf(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		s := newShopWith(t, open(), "apart", apartRows)
		s.can("K1", 100)
		s.sealed("K2", 100)
		s.do(&inventory.Baked{Bundle: "K2", Place: "B1", Set: "350 C"})
		s.pass(3 * measure.Hour)
		done := s.do(&inventory.Moved{Bundle: "K2", Into: "H1", As: "K2B", Pieces: 50})
		if len(done.Warnings) != 1 || !strings.Contains(done.Warnings[0], "rebaked-apart") || !strings.Contains(done.Warnings[0], "K1") {
			t.Errorf("baked rods beside K1: warnings %q, want one that names the row and K1", done.Warnings)
		}
		if done := s.do(&inventory.Moved{Bundle: "K2", Into: "H2"}); len(done.Warnings) != 0 {
			t.Errorf("into an empty oven: warnings %q, want none", done.Warnings)
		}
		if done := s.do(&inventory.Moved{Bundle: "K2B", Into: "H2"}); len(done.Warnings) != 0 {
			t.Errorf("beside baked rods: warnings %q, want none", done.Warnings)
		}
	})
}

func TestFluxAndRodsShareNoOven(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		s := newShopWith(t, open(), "flux", apartRows)
		s.can("K1", 100)
		s.do(&inventory.Received{Lot: "F1", Class: "F7A2-EM12K", Package: "bag", Bundle: "X1", Mass: "25 kg"})
		ref := s.refuse(inventory.CoStorage, &inventory.Opened{Bundle: "X1", Into: "H1"})
		if ref.Rule != "reference-running/flux-apart" || !strings.Contains(ref.Next, "K1") {
			t.Errorf("refused by %q, next %q; want row flux-apart and K1 named", ref.Rule, ref.Next)
		}
		s.do(&inventory.Opened{Bundle: "X1", Into: "H2"})
		s.refuse(inventory.CoStorage, &inventory.Moved{Bundle: "K1", Into: "H2"})
	})
}

// A rack scanned as "H1/3" is the rack 3 of H1, in the ledger and in the books,
// and a rebuild comes to the same.
func TestRackIsKeptApartFromItsPlace(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		s := newShop(t, open(), "racks")
		s.sealed("K1", 100)
		s.sealed("K2", 100)
		done := s.do(&inventory.Opened{Bundle: "K1", Into: "H1/3"})
		if e := done.Entry.(*inventory.Opened); e.Into != "H1" || e.Rack != "3" {
			t.Errorf("recorded into %q rack %q, want H1 and 3", e.Into, e.Rack)
		}
		if b := s.bundle("K1"); b.Place.Name != "H1" || b.Rack != "3" {
			t.Errorf("K1 is in %s rack %q, want H1 and 3", b.Place.Name, b.Rack)
		}
		ref := s.refuse(inventory.CoStorage, &inventory.Opened{Bundle: "K2", Into: "H1/3"})
		if strings.Contains(ref.Next, "join") {
			t.Errorf("another lot: next %q, want no joining", ref.Next)
		}
		s.do(&inventory.Moved{Bundle: "K1", Into: "H1/4", Pieces: 40, As: "K1B"})
		ref = s.refuse(inventory.CoStorage, &inventory.Moved{Bundle: "K1B", Into: "H1/3"})
		if !strings.Contains(ref.Next, "ovenward join K1 ") || !strings.Contains(ref.Next, "taken in H1: 3;") {
			t.Errorf("the same lot: next %q, want the join and the racks taken", ref.Next)
		}
		s.do(&inventory.Joined{Bundles: []string{"K1", "K1B"}, As: "K1C"})
		if b := s.bundle("K1C"); b.Rack != "3" {
			t.Errorf("joined rods lie on rack %q, want that of the first, 3", b.Rack)
		}
		s.do(&inventory.PlaceSet{Place: "A/B", SortKind: "shelf"})
		s.do(&inventory.Moved{Bundle: "K2", Into: "A/B"})
		if b := s.bundle("K2"); b.Place.Name != "A/B" || b.Rack != "" {
			t.Errorf("a place of that very name: K2 is in %s rack %q, want A/B", b.Place.Name, b.Rack)
		}
		s.sound()
	})
}
