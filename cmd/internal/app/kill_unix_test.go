//go:build unix

package app_test

import (
	"bufio"
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/ledgerdb"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// restart is how soon the next program must be at work after one was killed
// (requirement: within 2 s and without a hand being lifted).
const restart = 2 * time.Second

// A program is killed at random moments while it works. What it acknowledged is
// there, once, and what is stored still follows from the facts. This shows what
// a sudden death can do, not what a power cut can.
func TestKilledProgramLosesNothingAcknowledged(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name   string
		dsn    func(t *testing.T) string
		rounds int
	}{
		{"sqlite", func(t *testing.T) string { return "sqlite:" + t.TempDir() + "/yard.db" }, 40},
		{"postgres", func(t *testing.T) string { return dbtest.Server(t) }, 15},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			seed := uint64(time.Now().UnixNano())
			t.Logf("seed %d", seed)
			killRounds(t, c.dsn(t), c.rounds, rand.New(rand.NewPCG(seed, seed)))
		})
	}
}

func killRounds(t *testing.T, dsn string, rounds int, random *rand.Rand) {
	s := realTimeShop(t, dbtest.Open(t, dsn))
	acknowledged := 0
	for round := range rounds {
		ids := workUntilKilled(t, dsn, fmt.Sprint(round), 1+random.IntN(12), time.Duration(random.IntN(20))*time.Millisecond)
		acknowledged += len(ids)
		killed := time.Now()
		d, err := db.Open(t.Context(), dsn)
		if err != nil {
			t.Fatalf("open after the kill: %v", err)
		}
		again := s.through("window", d)
		again.do(&inventory.Counted{Bundle: "K1", Pieces: inventory.Count(again.bundle("K1").Pieces)}, withID(""))
		if took := time.Since(killed); took > restart {
			t.Errorf("at work again %v after the kill, want within %v", took, restart)
		}
		again.wantAll(ids)
		if err := d.Close(); err != nil {
			t.Error(err)
		}
	}
	head := s.sound().Head
	if acknowledged < 3*rounds {
		t.Errorf("%d facts acknowledged in %d rounds show nothing", acknowledged, rounds)
	}
	t.Logf("%d rounds, %d facts acknowledged, %d in the ledger", rounds, acknowledged, head.Seq)
}

// workUntilKilled starts a program at the window, kills it some time after it
// has acknowledged a number of facts and returns the ids of all of them.
func workUntilKilled(t *testing.T, dsn, round string, facts int, after time.Duration) (ids []string) {
	t.Helper()
	c := child(t, dsn, round)
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		if ids = append(ids, lines.Text()); len(ids) == facts {
			time.AfterFunc(after, func() { _ = c.Process.Kill() })
		}
	}
	if err := c.Wait(); err == nil || len(ids) < facts {
		t.Fatalf("the program ended by itself: %v", err)
	}
	return ids
}

// wantAll fails for each id that the ledger does not have. It cannot have one
// twice: ids are unique in it.
func (s *shop) wantAll(ids []string) {
	s.t.Helper()
	s.read(func(tx *sqlx.Tx) error {
		for _, id := range ids {
			if _, err := ledgerdb.ByID(s.t.Context(), tx, s.Site, id); err != nil {
				s.t.Errorf("acknowledged and lost: %v", err)
			}
		}
		return nil
	})
}
