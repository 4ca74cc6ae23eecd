package main

import (
	"cmp"
	"context"
	"fmt"

	"github.com/urfave/cli/v2"

	"ovenward/inventory"
)

func newSetupCommand(e *env) *cli.Command {
	var w writeOptions
	var in inventory.SiteSet
	return &cli.Command{
		Name:     "setup",
		Category: setUp,
		Usage:    "set up a site: its time zone and how it writes quantities",
		Description: `Do this once before anything else. The zone turns instants into shifts and dates,
so that the hour that is there twice in autumn is asked about.

   ovenward setup --zone America/Halifax --units US`,
		Flags: append(w.flags(),
			&cli.StringFlag{Name: "zone", Usage: "IANA `NAME` of the time zone, such as America/Halifax", Destination: &in.Zone},
			&cli.StringFlag{Name: "units", Usage: "`SYSTEM` quantities are shown in: SI or US", Destination: (*string)(&in.Units)},
			&cli.StringFlag{Name: "shifts", Usage: "`TIMES` of the day at which crews work, such as 06:00-18:00,18:00-06:00", Destination: &in.Shifts},
			&cli.StringFlag{Name: "stubs", Usage: "stub `TARGETS` in per cent by stage, such as ground=97,erection=95,charge=90", Destination: &in.Stubs},
		),
		Action: func(c *cli.Context) error {
			if c.NArg() > 0 || in == (inventory.SiteSet{}) {
				return usagef("setup needs the zone: ovenward setup --zone America/Halifax")
			}
			return runSetup(c.Context, e, w, in)
		},
	}
}

// runSetup sets the site up. What is left out stays as it was set up before.
func runSetup(ctx context.Context, e *env, w writeOptions, in inventory.SiteSet) error {
	e.founds = true
	if in.Zone == "" || in.Units == "" {
		a, err := e.open(ctx)
		if err != nil {
			return err
		}
		have, err := a.Habits(ctx)
		if err != nil {
			return err
		}
		if have.Units == "" && in.Zone == "" {
			return usagef("setup needs the zone: ovenward setup --zone America/Halifax")
		}
		in.Zone, in.Units = cmp.Or(in.Zone, have.Zone.String()), cmp.Or(in.Units, have.Units)
	}
	done, err := e.record(ctx, w, &in)
	if err != nil {
		return err
	}
	in = *done.Entry.(*inventory.SiteSet)
	text := fmt.Sprintf("SET UP   site %s, zone %s", e.site, in.Zone)
	if in.Shifts != "" {
		text += ", shifts " + in.Shifts
	}
	if in.Stubs != "" {
		text += ", stubs " + in.Stubs
	}
	return e.tell(e.acted(done, "set up", e.site), "%s\nnext: QA approves a rule set: ovenward rules list", text)
}
