package main

import (
	"github.com/urfave/cli/v2"

	"ovenward/inventory"
)

func newJoinCommand(e *env) *cli.Command {
	var w writeOptions
	var as string
	return &cli.Command{
		Name: "join", Category: atTheWindow, Usage: "make one bundle of several of one lot, with the worst of each history",
		ArgsUsage: "BUNDLE BUNDLE...",
		Flags:     append(w.actFlags(), &cli.StringFlag{Name: "as", Usage: "`NAME` of the bundle; given by the program where left out", Destination: &as}),
		Action: func(c *cli.Context) error {
			if c.NArg() < 2 {
				return usagef("join takes two bundles or more: ovenward join BUNDLE BUNDLE")
			}
			done, err := e.record(c.Context, w, &inventory.Joined{Bundles: c.Args().Slice(), As: as})
			if err != nil {
				return err
			}
			return e.printBundle(c.Context, done, done.Entry.(*inventory.Joined).As, "joined")
		},
	}
}
