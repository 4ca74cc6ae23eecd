package main

import (
	"github.com/urfave/cli/v2"

	"ovenward/inventory"
)

func newDecideCommand(e *env) *cli.Command {
	var w writeOptions
	var entry inventory.Decision
	return &cli.Command{
		Name: "decide", Category: forQA, Usage: "record QA's disposition of a bundle that no rule decides", ArgsUsage: "BUNDLE",
		Description: `One person proposes, another approves: --by approves, --proposer proposed.`,
		Flags: append(w.flags(),
			&cli.StringFlag{Name: "disposition", Usage: "`WHAT`: release, bake or discard", Destination: &entry.Disposition},
			&cli.StringFlag{Name: "why", Usage: "`REASON` with its evidence", Destination: &entry.Why},
			&cli.StringFlag{Name: "proposer", Usage: "`WHO` proposed it", Destination: &entry.Proposer}),
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 {
				return usagef("decide takes one bundle")
			}
			entry.Bundle = c.Args().First()
			done, err := e.record(c.Context, w, &entry)
			if err != nil {
				return err
			}
			return e.printBundle(c.Context, done, done.Entry.(*inventory.Decision).Bundle, "decided")
		},
	}
}
