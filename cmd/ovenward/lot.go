package main

import (
	"github.com/urfave/cli/v2"

	"ovenward/inventory"
)

func newLotCommand(e *env) *cli.Command {
	return group("lot", "show, find, release, hold or extend a lot, and its papers", forQA, newLotShowCommand(e), newLotFindCommand(e), newLotReleaseCommand(e), newLotHoldCommand(e),
		newLotHeldCommand(e), newLotExtendCommand(e), newCertificateCommand(e))
}

func newLotReleaseCommand(e *env) *cli.Command {
	var w writeOptions
	var in inventory.LotReleased
	return &cli.Command{
		Name: "release", Usage: "let a lot go out", ArgsUsage: "LOT",
		Description: `A lot that was found at the first stock-take is released with what was seen of
it, or it is scrap:

   ovenward lot release 7B21 --label "clean, legible" --certificate C-1042 --package "can sealed"`,
		Flags: append(w.flags(),
			&cli.StringFlag{Name: "note", Usage: "`WHAT` was looked at", Destination: &in.Note},
			&cli.StringFlag{Name: "label", Usage: "`STATE` of the label of existing stock", Destination: &in.Label},
			&cli.StringFlag{Name: "certificate", Usage: "`NUMBER` of the certificate of existing stock", Destination: &in.Certificate},
			&cli.StringFlag{Name: "package", Usage: "`STATE` of the package of existing stock", Destination: &in.Package}),
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 {
				return usagef("lot release takes one lot")
			}
			lot := c.Args().First()
			in.Lot = lot
			done, err := e.record(c.Context, w, &in)
			if err != nil {
				return err
			}
			return e.tell(e.acted(done, "released", lot), "RELEASED lot %s by %s", lot, e.by)
		},
	}
}

func newLotHoldCommand(e *env) *cli.Command {
	var w writeOptions
	var why, bundle string
	return &cli.Command{
		Name: "hold", Usage: "stop a lot, or one bundle, until QA has decided", ArgsUsage: "[LOT]",
		Flags: append(w.flags(),
			&cli.StringFlag{Name: "why", Usage: "`REASON` for the hold", Destination: &why},
			&cli.StringFlag{Name: "bundle", Usage: "hold this `BUNDLE` only", Destination: &bundle}),
		Action: func(c *cli.Context) error {
			if (c.NArg() == 1) == (bundle != "") {
				return usagef("lot hold takes one lot, or one bundle with --bundle")
			}
			done, err := e.record(c.Context, w, &inventory.HeldBack{Lot: c.Args().First(), Bundle: bundle, Why: why})
			if err != nil {
				return err
			}
			held := done.Entry.(*inventory.HeldBack)
			what := held.Lot + held.Bundle // one of them
			return e.tell(e.acted(done, "held", what), "HELD     %s: %s\nnext: see where it went with ovenward trace %s", what, held.Why, what)
		},
	}
}
