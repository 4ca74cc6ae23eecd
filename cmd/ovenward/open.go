package main

import (
	"github.com/urfave/cli/v2"

	"ovenward/inventory"
)

func newOpenCommand(e *env) *cli.Command {
	var w writeOptions
	var into string
	return &cli.Command{
		Name:      "open",
		Category:  atTheWindow,
		Usage:     "open a sealed package, straight into an oven if it can be",
		ArgsUsage: "BUNDLE",
		Flags:     append(w.actFlags(), &cli.StringFlag{Name: "into", Usage: "`PLACE` the rods go, such as H1", Destination: &into}),
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 {
				return usagef("open takes one bundle: ovenward open BUNDLE --into OVEN")
			}
			done, err := e.record(c.Context, w, &inventory.Opened{Bundle: c.Args().First(), Into: into})
			if err != nil {
				return err
			}
			return e.printBundle(c.Context, done, done.Entry.(*inventory.Opened).Bundle, "opened")
		},
	}
}
