package main

import (
	"github.com/urfave/cli/v2"

	"ovenward/inventory"
)

func newBakeCommand(e *env) *cli.Command {
	var w writeOptions
	var entry inventory.Baked
	var layers string
	return &cli.Command{
		Name: "bake", Category: atTheWindow, Usage: "put a bundle in a bake oven; the run ends when it is moved", ArgsUsage: "BUNDLE",
		Subcommands: []*cli.Command{newBakeShowCommand(e)},
		Description: `Bake ovens and baked rods burn: use gloves, let the load cool to the holding
temperature before it is handled. Never bake cellulosic rods. "bake show BUNDLE" says
afterwards what the run was worth.`,
		Flags: append(w.actFlags(),
			&cli.StringFlag{Name: "place", Usage: "the bake `OVEN`, or its rack, BK/2", Destination: &entry.Place},
			&cli.StringFlag{Name: "set", Usage: "chosen `TEMPERATURE` with its unit, such as 350 C", Destination: &entry.Set},
			layersFlag(&layers),
			&cli.StringFlag{Name: "load", Usage: "`MASS` of the whole load", Destination: &entry.Load},
			&cli.StringFlag{Name: "depth", Usage: "how deep flux lies, a `LENGTH` such as 1 in", Destination: &entry.Depth}),
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 || entry.Place == "" {
				return usagef("bake takes one bundle, an oven and a temperature: ovenward bake BUNDLE --place OVEN --set \"350 C\"")
			}
			entry.Bundle = c.Args().First()
			if err := count(layers, "layers", &entry.Layers); err != nil {
				return err
			}
			done, err := e.record(c.Context, w, &entry)
			if err != nil {
				return err
			}
			return e.printBundle(c.Context, done, done.Entry.(*inventory.Baked).Bundle, "baking")
		},
	}
}
