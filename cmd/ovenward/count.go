package main

import (
	"github.com/urfave/cli/v2"

	"ovenward/inventory"
)

func newCountCommand(e *env) *cli.Command {
	var w writeOptions
	var pieces, mass, why string
	return &cli.Command{
		Name: "count", Category: atTheWindow, Usage: "enter a physical count; the difference from the books is kept", ArgsUsage: "BUNDLE",
		Flags: append(w.actFlags(),
			&cli.StringFlag{Name: "pieces", Aliases: []string{"n"}, Usage: "`NUMBER` of rods counted", Destination: &pieces},
			&cli.StringFlag{Name: "mass", Usage: "`MASS` of wire or flux weighed", Destination: &mass},
			&cli.StringFlag{Name: "why", Usage: "`REASON` for the difference, where known", Destination: &why}),
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 || (pieces == "" && mass == "") {
				return usagef("count takes one bundle and what was counted: ovenward count BUNDLE --pieces NUMBER")
			}
			entry := &inventory.Counted{Bundle: c.Args().First(), Mass: mass, Why: why}
			if err := count(pieces, "pieces", &entry.Pieces); err != nil {
				return err
			}
			done, err := e.record(c.Context, w, entry)
			if err != nil {
				return err
			}
			return e.printBundle(c.Context, done, done.Entry.(*inventory.Counted).Bundle, "counted")
		},
	}
}
