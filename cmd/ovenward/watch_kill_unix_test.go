//go:build unix

package main

import (
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"ovenward/alerts/channel"
	"ovenward/migrations/db/dbtest"
)

// killRounds is how often the watch is killed; OVENWARD_KILL_ROUNDS asks for
// more than fits into a check.
const killRounds = 12

// pastDelay is longer than an oven's alarm waits to be raised and to cease.
const pastDelay = 11 * time.Minute

// TestAWatchThatIsKilledLosesAndRepeatsNothing kills the program at a random
// moment of a look in which an alarm is raised or ends and is to be told. It does
// not run beside other tests, so that the moments are spread over the whole look.
func TestAWatchThatIsKilledLosesAndRepeatsNothing(t *testing.T) {
	for engine, dsn := range map[string]string{
		"sqlite": "sqlite:" + filepath.Join(t.TempDir(), "ovenward.db"), "postgres": dbtest.Prepared(t)} {
		t.Run(engine, func(t *testing.T) { killWatch(t, dsn, askedRounds(t)) })
	}
}

func askedRounds(t *testing.T) int {
	n := killRounds
	if text := os.Getenv("OVENWARD_KILL_ROUNDS"); text != "" {
		if _, err := fmt.Sscan(text, &n); err != nil {
			t.Fatal(err)
		}
	}
	return n
}

// victim is a shop whose watch is killed.
type victim struct {
	t        *testing.T
	dsn, dir string
	day      time.Time
}

func (v *victim) command(args ...string) *exec.Cmd {
	cmd := exec.CommandContext(v.t.Context(), "ovenward", append([]string{"--db", v.dsn, "--by", "A1"}, args...)...)
	cmd.Env = append(os.Environ(), clockVariable+"="+v.day.Format(time.RFC3339))
	cmd.Stdout, cmd.Stderr = io.Discard, io.Discard
	return cmd
}

func (v *victim) do(args ...string) {
	v.t.Helper()
	if err := v.command(args...).Run(); err != nil {
		v.t.Fatalf("%s: %v", strings.Join(args, " "), err)
	}
}

func killWatch(t *testing.T, dsn string, rounds int) {
	v := &victim{t: t, dsn: dsn, dir: t.TempDir(), day: time.Date(2026, 3, 2, 10, 0, 0, 0, time.UTC)}
	for line := range strings.Lines(strings.TrimSpace(shopLines)) {
		args := strings.Fields(line)
		for i, a := range args {
			args[i] = strings.ReplaceAll(a, "_", " ")
		}
		v.do(args...)
	}
	told, settings := filepath.Join(v.dir, "alarms.jsonl"), filepath.Join(v.dir, "ovenward.toml")
	text := fmt.Sprintf("[[channel]]\nname = \"crib\"\nkind = \"file\"\npath = %q\ncleared = true\n", told)
	if err := os.WriteFile(settings, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	v.do("watch", "--once", "--config", settings)
	whole := time.Now()
	v.do("watch", "--once", "--config", settings)
	took := time.Since(whole)
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d, a look takes %s", seed, took)
	random := rand.New(rand.NewPCG(seed, 0))
	killed := 0
	for i := range rounds {
		v.day = v.day.Add(time.Minute)
		v.do("oven", "read", "H1", []string{"200 F", "255 F"}[i%2])
		v.day = v.day.Add(pastDelay)
		if v.kill(time.Duration(random.Int64N(int64(took))), "watch", "--once", "--config", settings) {
			killed++
		}
	}
	for range 3 { // what is left is told after the pause of what failed, of which there is none
		v.day = v.day.Add(time.Minute)
		v.do("watch", "--once", "--config", settings)
	}
	if killed == 0 {
		t.Errorf("none of %d was killed: nothing is shown", rounds)
	}
	v.check(told, rounds)
}

// kill starts a command and kills it after a time; false where it had ended.
func (v *victim) kill(after time.Duration, args ...string) bool {
	v.t.Helper()
	cmd := v.command(args...)
	if err := cmd.Start(); err != nil {
		v.t.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- cmd.Wait() }()
	select {
	case err := <-ended:
		if err != nil {
			v.t.Fatal(err)
		}
		return false
	case <-time.After(after):
	}
	if err := cmd.Process.Kill(); err != nil {
		return false
	}
	return (<-ended) != nil
}

// check reads what was told: every turn of the oven once, in order.
func (v *victim) check(told string, rounds int) {
	v.t.Helper()
	text, err := os.ReadFile(told)
	if err != nil {
		v.t.Fatal(err)
	}
	var got, want []string
	for line := range strings.Lines(string(text)) {
		var m channel.Message
		if err := json.Unmarshal([]byte(line), &m); err != nil {
			v.t.Fatalf("%q: %v", line, err)
		}
		for _, i := range m.Items {
			if i.Kind == "oven-cold" {
				got = append(got, i.Event)
			}
		}
	}
	for i := range rounds {
		want = append(want, []string{"raised", "cleared"}[i%2])
	}
	if !slices.Equal(got, want) {
		v.t.Errorf("told %q, want %q", got, want)
	}
}
