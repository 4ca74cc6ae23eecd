package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"time"
)

// check is one run: where it reports, the environment of the programs that it
// starts, and what it has counted.
type check struct {
	out            io.Writer
	env            []string
	passed, failed int
}

// all runs the steps one after the other, also after a failure, and ends with
// one line of totals for the build machine.
func (c *check) all(ctx context.Context, chosen []step) int {
	begun := time.Now()
	stop, err := c.bringUp(ctx, chosen)
	defer stop()
	if err != nil {
		c.count("servers", err)
	}
	for _, s := range chosen {
		if ctx.Err() != nil || s.servers && err != nil {
			c.count(s.name, fmt.Errorf("not run: %w", errors.Join(ctx.Err(), err)))
			continue
		}
		c.one(ctx, s)
	}
	fmt.Fprintf(c.out, "\n== done in %s\n%d passed, %d failed\n", since(begun), c.passed, c.failed)
	if c.failed > 0 {
		return 1
	}
	return 0
}

// bringUp starts the servers if one of the steps needs them.
func (c *check) bringUp(ctx context.Context, chosen []step) (stop func(), err error) {
	if !slices.ContainsFunc(chosen, func(s step) bool { return s.servers }) {
		return func() {}, nil
	}
	return c.startServers(ctx)
}

func (c *check) one(ctx context.Context, s step) {
	c.heading(s.name, s.about)
	begun := time.Now()
	failed := c.failed
	err := s.run(c, ctx)
	if err != nil || !s.tests {
		c.count(s.name, err)
	}
	verdict := "ok"
	if c.failed > failed {
		verdict = "FAILED"
	}
	fmt.Fprintf(c.out, "%s %s, %s\n", s.name, verdict, since(begun))
}

// count adds one check to the totals and shows why it failed.
func (c *check) count(name string, err error) {
	if err == nil {
		c.passed++
		return
	}
	c.failed++
	fmt.Fprintf(c.out, "FAIL %s: %v\n", name, err)
}

func (c *check) heading(name, about string) {
	fmt.Fprintf(c.out, "\n== %s: %s\n", name, about)
}

func since(t time.Time) time.Duration { return time.Since(t).Round(100 * time.Millisecond) }
