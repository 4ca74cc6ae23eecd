package main

import (
	"github.com/urfave/cli/v2"

	"ovenward/inventory"
)

func newNoteCommand(e *env) *cli.Command {
	var w writeOptions
	var n inventory.Noted
	var what string
	return &cli.Command{
		Name: "note", Category: atTheWindow, Usage: "note what was seen of rods: a spot check, a complaint", ArgsUsage: "BUNDLE",
		Description: `   ovenward note --slip S0001-R --what handful --seen-by F1
   ovenward note B0001-G --what porosity --words 'in the root of J-101'

Rods that were taken out by the handful are split off with ovenward move, so
that their own clock runs from that minute.`,
		Flags: append(w.flags(),
			&cli.StringFlag{Name: "slip", Usage: "of rods that went out on this `SLIP`", Destination: &n.Slip},
			&cli.StringFlag{Name: "what", Usage: "`WHAT`: spot-check, handful, porosity, uneven-burn, cracked-covering or other", Destination: &what},
			&cli.StringFlag{Name: "words", Usage: "`TEXT`", Destination: &n.Words},
			&cli.StringFlag{Name: "seen-by", Usage: "`WHO` saw it, where it is not --by", Destination: &n.SeenBy}),
		Action: func(c *cli.Context) error {
			if (c.NArg() == 1) == (n.Slip != "") || c.NArg() > 1 {
				return usagef("note takes one bundle, or one slip with --slip")
			}
			n.Bundle, n.What = c.Args().First(), inventory.Sight(what)
			done, err := e.record(c.Context, w, &n)
			if err != nil {
				return err
			}
			seen := done.Entry.(*inventory.Noted)
			return e.tell(e.acted(done, "noted", seen.Bundle+seen.Slip), "NOTED    %s: %s", seen.Bundle+seen.Slip, seen.What)
		},
	}
}
