package main

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"os/exec"
	"strings"
	"time"
)

// grace is how long a program may take to end after it was interrupted.
const grace = 20 * time.Second

// command prepares a program that is interrupted with all that it started when
// ctx ends, not killed, so that it can remove what it made.
func (c *check) command(ctx context.Context, name string, args ...string) *exec.Cmd {
	cmd := exec.CommandContext(ctx, name, args...)
	cmd.Env = c.env
	ownGroup(cmd)
	cmd.Cancel = func() error { return interrupt(cmd) }
	cmd.WaitDelay = grace
	return cmd
}

// show runs a program and shows all it says.
func (c *check) show(cmd *exec.Cmd) error {
	cmd.Stdout, cmd.Stderr = c.out, c.out
	if err := cmd.Run(); err != nil {
		return fmt.Errorf("%s: %w", strings.Join(cmd.Args, " "), err)
	}
	return nil
}

// output runs a program and returns what it printed; the error holds the end of
// what it complained about.
func output(cmd *exec.Cmd) (string, error) {
	var complaints bytes.Buffer
	if cmd.Stderr == nil {
		cmd.Stderr = &complaints
	}
	out, err := cmd.Output()
	if err != nil {
		why := cmp.Or(complaints.String(), string(out))
		return "", fmt.Errorf("%s: %w\n%s", strings.Join(cmd.Args, " "), err, tail(why))
	}
	return string(out), nil
}

// tailLines is how much of a failed program's text is worth showing.
const tailLines = 20

func tail(s string) string {
	lines := strings.Split(strings.TrimSpace(s), "\n")
	return strings.Join(lines[max(0, len(lines)-tailLines):], "\n")
}

// set gives an environment variable to every program started from now on.
func (c *check) set(key, value string) { c.env = append(c.env, key+"="+value) }
