package main

import (
	"cmp"
	"context"

	"github.com/urfave/cli/v2"

	"ovenward/inventory"
)

func newDecideCommand(e *env) *cli.Command {
	var w writeOptions
	var entry inventory.Decision
	var approve, reject bool
	return &cli.Command{
		Name: "decide", Category: forQA, Usage: "decide what becomes of stock that no rule decides", ArgsUsage: "PROPOSAL|BUNDLE",
		Description: `One person proposes, another with QA's authority decides: --by decides. A bundle
that nobody proposed anything about is decided with --proposer naming who did.

   ovenward decide list
   ovenward decide P0001-X --approve
   ovenward decide P0001-X --reject --why 'the door log says otherwise'
   ovenward decide B0001-G --disposition bake --why 'no log' --proposer A2
   ovenward decide sensor H1 --disposition accept --why 'UT of J-101 found nothing' --proposer A2`,
		Flags: append(w.flags(),
			&cli.BoolFlag{Name: "approve", Usage: "approve a proposal", Destination: &approve},
			&cli.BoolFlag{Name: "reject", Usage: "reject a proposal", Destination: &reject},
			&cli.StringFlag{Name: "disposition", Usage: "of a bundle, `WHAT`: release, bake or discard", Destination: &entry.Disposition},
			&cli.StringFlag{Name: "why", Usage: "`REASON` with its evidence", Destination: &entry.Why},
			&cli.StringFlag{Name: "proposer", Usage: "of a bundle, `WHO` proposed it", Destination: &entry.Proposer}),
		Subcommands: []*cli.Command{newDecideListCommand(e), newDecideSensorCommand(e)},
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 || (approve && reject) {
				return usagef("decide takes one proposal with --approve or --reject, or one bundle with --disposition")
			}
			entry.Rejected = reject
			if name := c.Args().First(); approve || reject {
				entry.Proposal = name
			} else {
				entry.Bundle = name
			}
			return runDecide(c.Context, e, w, &entry)
		},
	}
}

func runDecide(ctx context.Context, e *env, w writeOptions, entry *inventory.Decision) error {
	done, err := e.record(ctx, w, entry)
	if err != nil {
		return err
	}
	d := done.Entry.(*inventory.Decision)
	switch {
	case d.Rejected:
		return e.tell(e.acted(done, "rejected", d.Proposal), "REJECTED %s: %s stays as it is (%s)", d.Proposal, cmp.Or(d.Bundle, d.Lot), d.Why)
	case d.Bundle == "":
		if d.Disposition == "extend" {
			return e.tell(e.acted(done, "decided", d.Lot), "EXTENDED lot %s until %s, by test %s (%s)", d.Lot, d.Until, d.Reference, d.Why)
		}
		return e.tell(e.acted(done, "decided", d.Lot), "DECIDED  lot %s: %s (%s)", d.Lot, d.Disposition, d.Why)
	}
	return e.printBundle(ctx, done, d.Bundle, "decided")
}
