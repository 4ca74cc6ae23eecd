package main

import (
	"bufio"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"ovenward/storage/feed"
)

func TestUnknownBenchIsWrongUse(t *testing.T) {
	t.Parallel()
	for _, args := range [][]string{{"bench"}, {"bench", "imports"}, {"bench", "import", "twice"}} {
		var complaints strings.Builder
		if got := run(t.Context(), args, new(strings.Builder), &complaints); got != 2 {
			t.Errorf("%q: exit status %d, want 2", args, got)
		}
		if !strings.Contains(complaints.String(), "want import") {
			t.Errorf("%q: complaint %q, want the right names", args, complaints.String())
		}
	}
}

// A comparison is worth nothing unless both loaders are given the same readings.
func TestBothLoadersAreGivenTheSameReadings(t *testing.T) {
	t.Parallel()
	const rows = 5 * importOvens
	log, raw := filepath.Join(t.TempDir(), "log.csv"), filepath.Join(t.TempDir(), "raw.csv")
	if err := writeReadings(log, raw, rows); err != nil {
		t.Fatal(err)
	}
	peer, err := os.Open(raw)
	if err != nil {
		t.Fatal(err)
	}
	defer peer.Close()
	lines := bufio.NewScanner(peer)
	ours, err := os.Open(log)
	if err != nil {
		t.Fatal(err)
	}
	defer ours.Close()
	seen := map[string]bool{}
	sum, err := feed.Read(ours, feed.Mapping{Time: "time", Value: "temp", Sensor: "oven"}, time.UTC, func(r feed.Row) error {
		lines.Scan()
		if got, want := lines.Text(), fmt.Sprintf("main,%s,%d,%d,%d", r.Sensor, r.At, r.Temp, int64(importNoted)); got != want {
			t.Errorf("the peer is given %s, want %s", got, want)
		}
		seen[fmt.Sprint(r.Sensor, r.At)] = true
		return nil
	})
	if err != nil || sum.Rows != rows || lines.Scan() || len(seen) != rows {
		t.Errorf("%d readings, %d of them different, %v, want %d and no line more for the peer", sum.Rows, len(seen), err, rows)
	}
}
