//go:build unix

package db_test

import (
	"bufio"
	"io"
	"math/rand/v2"
	"os/exec"
	"strconv"
	"testing"
	"time"

	"ovenward/migrations/db"
)

// killRounds is how often the child is killed on each engine.
const killRounds = 25

// This shows what a program's sudden death can do, not what a power cut can.
func TestKilledProgramLosesNoAcknowledgedCommit(t *testing.T) {
	t.Parallel()
	const seed = 20261125
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, seed))
	for _, dsn := range bothDSNs(t) {
		var stored int64
		for range killRounds {
			after := time.Duration(20+random.IntN(60)) * time.Millisecond
			last := commitUntilKilled(t, dsn, after)
			stored = checkSurvivors(t, dsn, last)
		}
		if stored < killRounds {
			t.Errorf("%s: %d commits in %d rounds show nothing", dsn, stored, killRounds)
		}
		t.Logf("%s: %d rounds, %d commits", dsn, killRounds, stored)
	}
}

// commitUntilKilled starts a child that commits and prints numbers, kills it
// some time after its first commit and returns the last number it printed.
func commitUntilKilled(t *testing.T, dsn string, after time.Duration) int64 {
	t.Helper()
	c := command(t, "commit", dsn)
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	last := readNumbers(t, c, out, after)
	_ = c.Wait() // it ends by the signal, which is an error
	return last
}

func readNumbers(t *testing.T, c *exec.Cmd, out io.Reader, after time.Duration) (last int64) {
	t.Helper()
	lines := bufio.NewScanner(out)
	for first := true; lines.Scan(); first = false {
		if first {
			time.AfterFunc(after, func() { _ = c.Process.Kill() })
		}
		n, err := strconv.ParseInt(lines.Text(), 10, 64)
		if err != nil {
			t.Errorf("child printed %q", lines.Text())
			continue
		}
		last = n
	}
	return last
}

// checkSurvivors checks that every number up to last is stored in both tables
// and returns how many there are in all.
func checkSurvivors(t *testing.T, dsn string, last int64) int64 {
	t.Helper()
	d, err := db.Open(t.Context(), dsn, db.WithMigrations(manySteps()))
	if err != nil {
		t.Fatalf("open after the kill: %v", err)
	}
	defer d.Close()
	var got struct{ Numbers, Upto, Whole int64 }
	get(t, d, &got, `SELECT count(*) AS numbers, coalesce(max(number.id), 0) AS upto, count(mirror.id) AS whole
		FROM number LEFT JOIN mirror ON mirror.id = number.id`)
	if got.Numbers != got.Upto || got.Whole != got.Numbers || got.Upto < last {
		t.Errorf("after %d was acknowledged: %+v, want all numbers up to there, in both tables", last, got)
	}
	if d.Engine() == db.SQLite {
		checkSound(t, d)
	}
	return got.Numbers
}

func checkSound(t *testing.T, d *db.DB) {
	t.Helper()
	var verdict string
	get(t, d, &verdict, `PRAGMA quick_check`)
	if verdict != "ok" {
		t.Errorf("quick_check: %s", verdict)
	}
}
