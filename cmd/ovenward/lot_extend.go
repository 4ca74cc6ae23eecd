package main

import (
	"github.com/urfave/cli/v2"

	"ovenward/inventory"
)

func newLotExtendCommand(e *env) *cli.Command {
	var w writeOptions
	var entry inventory.Extended
	return &cli.Command{
		Name: "extend", Usage: "move a lot's last day after a test of it", ArgsUsage: "LOT",
		Description: `One person proposes, another approves: --by approves, --proposer proposed. The
life of a package that was opened is not lengthened by it.

   ovenward lot extend 7B21 --until 2026-12-31 --reference T-118 --proposer "A. Reid"`,
		Flags: append(w.flags(),
			&cli.StringFlag{Name: "until", Usage: "new last `DAY`, 2026-12-31", Destination: &entry.Until},
			&cli.StringFlag{Name: "reference", Usage: "`NUMBER` of the test report", Destination: &entry.Reference},
			&cli.StringFlag{Name: "proposer", Usage: "`WHO` proposed it", Destination: &entry.Proposer}),
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 {
				return usagef("lot extend takes one lot")
			}
			entry.Lot = c.Args().First()
			done, err := e.record(c.Context, w, &entry)
			if err != nil {
				return err
			}
			x := done.Entry.(*inventory.Extended)
			return e.tell(e.acted(done, "extended", x.Lot), "EXTENDED lot %s until %s, by test %s\nnext: see what is left of it with ovenward stock",
				x.Lot, x.Until, x.Reference)
		},
	}
}
