package stockdb_test

import (
	"errors"
	"testing"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/ledger"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
	"ovenward/migrations/db"
)

// noon is 2025-06-05 12:00 UTC.
const noon measure.Instant = 1749124800 * 1_000_000

// site is a site of a test's own: facts are applied to it as if somebody had
// decided them.
type site struct {
	t    *testing.T
	db   *db.DB
	name string
	seq  int64
}

// next returns the next fact, an hour after the one before.
func (s *site) next() ledger.Fact {
	s.seq++
	return ledger.Fact{Site: s.name, Seq: s.seq, At: noon.Add(measure.Duration(s.seq) * measure.Hour), By: "A1"}
}

// apply applies an entry in a transaction of its own.
func (s *site) apply(e inventory.Entry) error {
	f := s.next()
	f.Kind = e.Kind()
	return s.db.Write(s.t.Context(), func(tx *sqlx.Tx) error { return stockdb.Apply(s.t.Context(), tx, f, e) })
}

// do applies entries that must be taken.
func (s *site) do(entries ...inventory.Entry) {
	s.t.Helper()
	for _, e := range entries {
		if err := s.apply(e); err != nil {
			s.t.Fatalf("%s %+v: %v", e.Kind(), e, err)
		}
	}
}

func (s *site) read(fn func(tx *sqlx.Tx) error) {
	s.t.Helper()
	if err := s.db.Read(s.t.Context(), fn); err != nil {
		s.t.Fatal(err)
	}
}

func (s *site) bundle(code string) (b inventory.Bundle) {
	s.t.Helper()
	s.read(func(tx *sqlx.Tx) (err error) {
		b, err = stockdb.Bundle(s.t.Context(), tx, s.name, code)
		return err
	})
	return b
}

// rows are those of every projection.
func (s *site) rows() (out []stockdb.Row) {
	s.t.Helper()
	s.read(func(tx *sqlx.Tx) error {
		out = nil
		return stockdb.Dump(s.t.Context(), tx, s.name, func(r stockdb.Row) error {
			out = append(out, r)
			return nil
		})
	})
	return out
}

func can(lot, bundle string, pieces inventory.Count) inventory.Entry {
	return &inventory.Received{Lot: lot, Class: "E7018", Diameter: "1/8 in", Package: "hermetic can", Bundle: bundle, Pieces: pieces,
		Into: inventory.Store}
}

func open(bundle string) inventory.Entry { return &inventory.Opened{Bundle: bundle} }

func issue(slip, bundle string, pieces inventory.Count) inventory.Entry {
	return &inventory.Issued{Slip: slip, Bundle: bundle, Pieces: pieces, Welder: "W3", Holder: "open air", Joints: []string{"J-101"}}
}

func back(slip, as string, unused, stubs inventory.Count) inventory.Entry {
	return &inventory.Returned{Slip: slip, Unused: unused, Stubs: stubs, Into: inventory.Store, As: as}
}

// what names an error as the store's callers tell them apart.
func what(err error) string {
	ref, refused := errors.AsType[*inventory.Refusal](err)
	switch {
	case err == nil:
		return "taken"
	case refused:
		return string(ref.Code)
	case errors.Is(err, db.ErrNotFound):
		return "not found"
	case db.CheckFailed(err):
		return "check failed"
	}
	return err.Error()
}
