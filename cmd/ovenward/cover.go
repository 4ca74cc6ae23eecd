package main

import (
	"github.com/urfave/cli/v2"

	"ovenward/inventory"
)

func newCoverCommand(e *env) *cli.Command {
	var w writeOptions
	return &cli.Command{
		Name: "cover", Category: atTheWindow, Usage: "say that what stays on a machine over night is covered there",
		ArgsUsage: "BUNDLE|SLIP", Flags: w.flags(),
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 {
				return usagef("cover takes one bundle or slip; see what is on machines with: ovenward out")
			}
			done, err := e.record(c.Context, w, &inventory.Covered{Bundle: c.Args().First()})
			if err != nil {
				return err
			}
			return e.printBundle(c.Context, done, done.Entry.(*inventory.Covered).Bundle, "covered")
		},
	}
}
