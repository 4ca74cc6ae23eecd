package main

import (
	"bufio"
	"context"
	"io"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// TestTheWatchEndsWellWhenItIsInterrupted: it runs until then, has said what
// stood when it began, and ends with the status for done. It does not run beside
// other tests, because the library for command lines writes to a flag of its own.
func TestTheWatchEndsWellWhenItIsInterrupted(t *testing.T) {
	day := time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)
	name := "sqlite:" + filepath.Join(t.TempDir(), "ovenward.db")
	do := func(ctx context.Context, out, errs io.Writer, args ...string) int {
		e := &env{in: strings.NewReader(""), out: out, errs: errs, now: func() time.Time { return day }}
		return e.run(ctx, append([]string{"ovenward", "--db", name, "--by", "A1"}, args...))
	}
	for line := range strings.Lines(strings.TrimSpace(shopLines)) {
		args := strings.Fields(line)
		for i, a := range args {
			args[i] = strings.ReplaceAll(a, "_", " ")
		}
		var errs strings.Builder
		if status := do(t.Context(), io.Discard, &errs, args...); status != exitDone {
			t.Fatalf("%s: exit status %d\n%s", line, status, &errs)
		}
	}
	day = day.Add(2 * time.Hour) // the oven has not been read since

	ctx, interrupt := context.WithCancel(t.Context())
	defer interrupt()
	said, out := io.Pipe()
	ended := make(chan int, 1)
	var errs strings.Builder
	go func() { ended <- do(ctx, out, &errs, "watch") }()
	line, err := bufio.NewReader(said).ReadString('\n')
	if err != nil || !strings.Contains(line, "holding oven H1: no reading since") {
		t.Errorf("the watch said %q, %v, want that H1 was not read", line, err)
	}
	drained := make(chan error, 1)
	go func() {
		_, err := io.Copy(io.Discard, said)
		drained <- err
	}()
	interrupt()
	status := <-ended
	out.Close()
	if err := <-drained; err != nil {
		t.Error(err)
	}
	if status != exitDone {
		t.Errorf("exit status %d, want %d\n%s", status, exitDone, &errs)
	}
}
