package main

import (
	"github.com/urfave/cli/v2"

	"ovenward/inventory"
)

func newMoveCommand(e *env) *cli.Command {
	var w writeOptions
	var into, layers, pieces, mass, as string
	return &cli.Command{
		Name:      "move",
		Category:  atTheWindow,
		Usage:     "put a bundle, or some of it, somewhere else",
		ArgsUsage: "BUNDLE",
		Flags: append(w.actFlags(),
			&cli.StringFlag{Name: "into", Usage: "`PLACE`: one that was set up, or its rack as H1/3, \"open air\" or \"packet\"",
				Destination: &into},
			layersFlag(&layers),
			&cli.StringFlag{Name: "pieces", Aliases: []string{"n"}, Usage: "`NUMBER` of rods; all where left out", Destination: &pieces},
			&cli.StringFlag{Name: "mass", Usage: "`MASS` of wire or flux; all where left out", Destination: &mass},
			&cli.StringFlag{Name: "as", Usage: "`NAME` of the part; given by the program where left out", Destination: &as},
		),
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 || into == "" {
				return usagef("move takes one bundle and a place: ovenward move BUNDLE --into PLACE")
			}
			entry := &inventory.Moved{Bundle: c.Args().First(), Into: into, Mass: mass, As: as}
			if err := count(pieces, "pieces", &entry.Pieces); err != nil {
				return err
			}
			if err := count(layers, "layers", &entry.Layers); err != nil {
				return err
			}
			done, err := e.record(c.Context, w, entry)
			if err != nil {
				return err
			}
			moved := done.Entry.(*inventory.Moved)
			code := moved.As
			if code == "" {
				code = moved.Bundle
			}
			return e.printBundle(c.Context, done, code, "moved")
		},
	}
}
