package main

import (
	"context"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/show"
	"ovenward/inventory/measure"
	"ovenward/storage/ovendb"
)

func newOvenSourcesCommand(e *env) *cli.Command {
	return &cli.Command{
		Name: "sources", Usage: "the loggers and devices that the watch reads, and how it stands with each",
		Description: `When something came last, by which time of the logger's clock, how far that clock
is ahead of ours, and why it cannot be read if it cannot. What the watch reads
stands in its settings: ovenward watch --help.`,
		Action: func(c *cli.Context) error {
			if c.NArg() > 0 {
				return usagef("oven sources takes no arguments")
			}
			return runOvenSources(c.Context, e)
		},
	}
}

// sourceAnswer is how it stands with a source, for a program.
type sourceAnswer struct {
	Kind    ovendb.SourceKind `json:"kind"`
	Name    string            `json:"name"`
	Heard   measure.Instant   `json:"heard_us"`  // 0: nothing came yet
	Newest  measure.Instant   `json:"newest_us"` // by its own clock
	Ahead   measure.Duration  `json:"clock_ahead_us"`
	Problem string            `json:"problem,omitempty"`
	Since   measure.Instant   `json:"problem_since_us,omitempty"`
}

func runOvenSources(ctx context.Context, e *env) error {
	p, err := e.screen(ctx, "")
	if err != nil {
		return err
	}
	list, err := p.app.Sources(ctx)
	if err != nil {
		return err
	}
	answers := []sourceAnswer{}
	t := show.Table{Head: []string{"source", "came last", "newest reading", "its clock", "state"},
		Empty: "The watch reads no logger and no device.\nnext: name them in its settings: ovenward watch --help"}
	for _, h := range list {
		a := sourceAnswer{h.Kind, h.Name, h.At, h.Newest, h.Ahead, h.Problem, h.Since}
		answers = append(answers, a)
		clock, state := "", "read"
		if a.Ahead > 0 {
			clock = a.Ahead.Words() + " ahead"
		}
		if a.Problem != "" {
			state = "NOT READ since " + a.Since.In(p.zone) + ": " + a.Problem
		}
		t.Add(ovendb.Source{Kind: a.Kind, Name: a.Name}.String(), when(a.Heard, p.zone), when(a.Newest, p.zone), clock, state)
	}
	return p.Answer(answers, t)
}
