package main

import (
	"strings"

	"github.com/urfave/cli/v2"

	"ovenward/inventory"
)

func newBlendCommand(e *env) *cli.Command {
	var w writeOptions
	var lot, into, as string
	return &cli.Command{
		Name: "blend", Category: atTheWindow, Usage: "mix flux of several bundles into a new lot",
		ArgsUsage: "BUNDLE=MASS BUNDLE[=MASS]...",
		Description: `How much may be recycled is a row of the rule set. The blend has the worst of
each history, and a joint made with it traces back to every lot in it.

   ovenward blend "B0007-X=25 kg" "B0009-Q=60 kg" --lot M-12 --into C1`,
		Flags: append(w.actFlags(),
			&cli.StringFlag{Name: "lot", Usage: "`NAME` of the new lot; that of its bundle where left out", Destination: &lot},
			&cli.StringFlag{Name: "into", Usage: "`PLACE` the blend goes; where the first of it is if left out", Destination: &into},
			&cli.StringFlag{Name: "as", Usage: "`NAME` of the new bundle; given by the program where left out", Destination: &as}),
		Action: func(c *cli.Context) error {
			if c.NArg() < 2 {
				return usagef("blend takes two bundles or more: ovenward blend \"BUNDLE=25 kg\" \"BUNDLE=60 kg\"")
			}
			entry := &inventory.Blended{Lot: lot, Into: into, As: as}
			for _, arg := range c.Args().Slice() {
				bundle, mass, _ := strings.Cut(arg, "=")
				entry.Inputs = append(entry.Inputs, inventory.BlendInput{Bundle: strings.TrimSpace(bundle), Mass: strings.TrimSpace(mass)})
			}
			done, err := e.record(c.Context, w, entry)
			if err != nil {
				return err
			}
			return e.printBundle(c.Context, done, done.Entry.(*inventory.Blended).As, "blended")
		},
	}
}

func newReclaimCommand(e *env) *cli.Command {
	var w writeOptions
	var mass, into, as string
	return &cli.Command{
		Name: "reclaim", Category: atTheWindow, Usage: "take unmelted flux up again, marked as recycled",
		ArgsUsage: "BUNDLE|SLIP",
		Description: `Record it before the slip is closed by its return: what was swept or sucked up
came back, and was not melted. It goes out again in a blend.

   ovenward reclaim S0004-K --mass "12 kg" --into store`,
		Flags: append(w.actFlags(),
			&cli.StringFlag{Name: "mass", Usage: "`MASS` of flux taken up", Destination: &mass},
			&cli.StringFlag{Name: "into", Usage: "`PLACE` it goes; the store where left out", Destination: &into},
			&cli.StringFlag{Name: "as", Usage: "`NAME` of the new bundle; given by the program where left out", Destination: &as}),
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 || mass == "" {
				return usagef("reclaim takes one bundle or slip and a mass: ovenward reclaim SLIP --mass \"12 kg\"")
			}
			done, err := e.record(c.Context, w, &inventory.Reclaimed{Bundle: c.Args().First(), Mass: mass, Into: into, As: as})
			if err != nil {
				return err
			}
			return e.printBundle(c.Context, done, done.Entry.(*inventory.Reclaimed).As, "reclaimed")
		},
	}
}
