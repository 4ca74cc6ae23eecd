package main

import (
	"github.com/urfave/cli/v2"

	"ovenward/inventory"
)

func newOpenCommand(e *env) *cli.Command {
	var w writeOptions
	var into, layers string
	var cold bool
	return &cli.Command{
		Name:      "open",
		Category:  atTheWindow,
		Usage:     "open a sealed package, straight into an oven if it can be",
		ArgsUsage: "BUNDLE",
		Flags: append(w.actFlags(), layersFlag(&layers),
			&cli.StringFlag{Name: "into", Usage: "`PLACE` the rods go, such as H1, or its rack, H1/3", Destination: &into},
			&cli.BoolFlag{Name: "cold", Usage: "it came from a place colder than the room", Destination: &cold}),
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 {
				return usagef("open takes one bundle: ovenward open BUNDLE --into OVEN")
			}
			entry := &inventory.Opened{Bundle: c.Args().First(), Into: into, Cold: cold}
			if err := count(layers, "layers", &entry.Layers); err != nil {
				return err
			}
			done, err := e.record(c.Context, w, entry)
			if err != nil {
				return err
			}
			return e.printBundle(c.Context, done, done.Entry.(*inventory.Opened).Bundle, "opened")
		},
	}
}
