package app_test

import (
	"bytes"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"ovenward/inventory/measure"
	"ovenward/migrations/db/dbtest"
)

// One script with one clock and the same ids comes to the same bytes on SQLite
// and on PostgreSQL: the ledger's and everything that follows from it.
func TestBothEnginesKeepTheSame(t *testing.T) {
	t.Parallel()
	const seeds, acts = 4, 60
	for seed := range seeds {
		a := newWork(t, dbtest.SQLite(t), "yard")
		b := newWork(t, dbtest.Open(t, dbtest.Prepared(t)), "yard")
		script := rapid.Custom(func(r *rapid.T) int {
			for range acts {
				both(r, a, b)
			}
			return a.taken
		})
		if taken := script.Example(seed); taken < acts/4 {
			t.Errorf("seed %d: %d of %d acts were taken, too few to show anything", seed, taken, acts)
		}
		if diff := cmp.Diff(a.state(), b.state()); diff != "" {
			t.Errorf("seed %d: the stored differs (-SQLite +PostgreSQL):\n%s", seed, diff)
		}
		if x, y := a.export(0), b.export(0); !bytes.Equal(x, y) {
			t.Errorf("seed %d: the ledgers differ:\n%s", seed, cmp.Diff(string(x), string(y)))
		}
		a.sound()
		b.sound()
	}
}

// both does one random thing in two shops that are alike so far, and fails
// unless both answer alike.
func both(r *rapid.T, a, b *work) {
	pause := measure.Duration(rapid.IntRange(0, 40).Draw(r, "minutes"))*measure.Minute + 6*measure.Second
	a.pass(pause)
	b.pass(pause)
	act := a.draw(r)
	x, xerr := act(a)
	y, yerr := act(b)
	if text(xerr) != text(yerr) {
		a.t.Fatalf("SQLite says %v, PostgreSQL %v", xerr, yerr)
	}
	if diff := cmp.Diff(x.Warnings, y.Warnings); diff != "" || x.Fact != y.Fact {
		a.t.Fatalf("SQLite recorded %+v, PostgreSQL %+v; warnings:\n%s", x.Fact, y.Fact, diff)
	}
	if xerr == nil {
		a.noted(x)
		b.noted(y)
	}
}

func text(err error) string {
	if err == nil {
		return ""
	}
	return err.Error()
}

// export is the site's ledger after a fact, as a file.
func (s *shop) export(after int64) []byte {
	s.t.Helper()
	var out bytes.Buffer
	if _, err := s.Export(s.t.Context(), &out, after); err != nil {
		s.t.Fatal(err)
	}
	return out.Bytes()
}
