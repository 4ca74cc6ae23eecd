package main

import (
	"github.com/urfave/cli/v2"

	"ovenward/inventory"
)

func newScrapCommand(e *env) *cli.Command {
	var w writeOptions
	var pieces, mass, why string
	return &cli.Command{
		Name: "scrap", Category: atTheWindow, Usage: "throw rods away for good, with the reason", ArgsUsage: "BUNDLE",
		Flags: append(w.actFlags(),
			&cli.StringFlag{Name: "pieces", Aliases: []string{"n"}, Usage: "`NUMBER` of rods; all where left out", Destination: &pieces},
			&cli.StringFlag{Name: "mass", Usage: "`MASS` of wire or flux; all where left out", Destination: &mass},
			&cli.StringFlag{Name: "why", Usage: "`REASON`", Destination: &why}),
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 {
				return usagef("scrap takes one bundle")
			}
			entry := &inventory.Scrapped{Bundle: c.Args().First(), Mass: mass, Why: why}
			if err := count(pieces, "pieces", &entry.Pieces); err != nil {
				return err
			}
			done, err := e.record(c.Context, w, entry)
			if err != nil {
				return err
			}
			return e.printBundle(c.Context, done, done.Entry.(*inventory.Scrapped).Bundle, "scrapped")
		},
	}
}
