package app_test

import (
	"bytes"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// copyOf is the same site in another database, empty so far.
func (s *shop) copyOf(d *db.DB) *shop { return s.through(s.Via, d) }

// another returns a new database of the same engine.
func another(t *testing.T, d *db.DB) *db.DB {
	t.Helper()
	if d.Engine() == db.Postgres {
		return dbtest.Open(t, dbtest.Server(t))
	}
	return dbtest.SQLite(t)
}

// across returns a new database of the other engine.
func across(t *testing.T, d *db.DB) *db.DB {
	t.Helper()
	if d.Engine() == db.SQLite {
		return dbtest.Open(t, dbtest.Server(t))
	}
	return dbtest.SQLite(t)
}

// A ledger that is carried to the other engine whole, then piece by piece, with
// late entries and corrections in it, comes to the same there.
func TestCarriedLedgerComesToTheSame(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		s := busyShop(t, open(), "yard")
		other := s.copyOf(across(t, s.DB))
		other.load(s.export(0), s.sound().Head.Seq)
		other.wantState(s.state())

		from := s.sound().Head.Seq
		s.pass(measure.Hour)
		out := s.do(issue("", "B0001-G", 5)).Fact.ID
		s.do(issue("S9", "B0001-G", 6), at(since(90*measure.Minute))) // late
		s.correct(app.Correction{Fact: out, Values: values("pieces", 7)})
		s.do(&inventory.SiteSet{Zone: "Europe/Oslo"})
		other.load(s.export(from), 4)
		other.wantState(s.state())

		other.load(s.export(0), 0)
		other.load(s.export(from), 0)
		s.do(&inventory.Counted{Bundle: "B0001-G", Pieces: 80})
		other.load(s.export(0), 1)
		other.wantState(s.state())
		if diff := cmp.Diff(string(s.export(0)), string(other.export(0))); diff != "" {
			t.Errorf("exported again from there (-here +there):\n%s", diff)
		}
		other.sound()
	})
}

// load appends an export, of which as many facts as wanted must be new.
func (s *shop) load(file []byte, want int64) {
	s.t.Helper()
	n, err := s.Load(s.t.Context(), bytes.NewReader(file))
	if err != nil || n != want {
		s.t.Fatalf("Load() = %d, %v, want %d new facts", n, err, want)
	}
}

// A file with one wrong byte is refused whole, into an empty site and behind
// what is there.
func TestDamagedExportIsNotKept(t *testing.T) {
	t.Parallel()
	const flips = 60
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		s := busyShop(t, dbtest.SQLite(t), "yard")
		whole := s.export(0)
		half := s.copyOf(open())
		half.load(whole, s.sound().Head.Seq)
		for range 5 {
			s.pass(measure.Minute)
			s.do(issue("", "B0001-G", 2))
		}
		more := s.export(half.sound().Head.Seq)
		empty := s.copyOf(another(t, half.DB))
		const seed = 20250605
		random := rand.New(rand.NewPCG(seed, seed))
		for range flips {
			for _, c := range []struct {
				into *shop
				file []byte
			}{{empty, whole}, {half, more}} {
				before := c.into.state()
				bad := bytes.Clone(c.file)
				i := random.IntN(len(bad))
				bad[i] ^= 1 << random.IntN(8)
				if n, err := c.into.Load(t.Context(), bytes.NewReader(bad)); err == nil {
					t.Errorf("byte %d of %d flipped: %d facts were taken", i, len(bad), n)
				}
				c.into.wantState(before)
			}
		}
	})
}
