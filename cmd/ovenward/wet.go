package main

import (
	"github.com/urfave/cli/v2"

	"ovenward/inventory"
)

func newWetCommand(e *env) *cli.Command {
	var w writeOptions
	return &cli.Command{
		Name: "wet", Category: atTheWindow, Usage: "say that a bundle got wet: it is scrap, whatever its clock says",
		ArgsUsage: "BUNDLE", Flags: w.actFlags(),
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 {
				return usagef("wet takes one bundle")
			}
			done, err := e.record(c.Context, w, &inventory.WentWet{Bundle: c.Args().First()})
			if err != nil {
				return err
			}
			return e.printBundle(c.Context, done, done.Entry.(*inventory.WentWet).Bundle, "wet")
		},
	}
}
