package main

import (
	"github.com/urfave/cli/v2"

	"ovenward/inventory"
)

func newSetupCommand(e *env) *cli.Command {
	var w writeOptions
	var zone, units string
	return &cli.Command{
		Name:     "setup",
		Category: setUp,
		Usage:    "set up a site: its time zone and how it writes quantities",
		Description: `Do this once before anything else. The zone turns instants into shifts and dates,
so that the hour that is there twice in autumn is asked about.

   ovenward setup --zone America/Halifax --units US`,
		Flags: append(w.flags(),
			&cli.StringFlag{Name: "zone", Usage: "IANA `NAME` of the time zone, such as America/Halifax", Destination: &zone},
			&cli.StringFlag{Name: "units", Usage: "`SYSTEM` quantities are shown in: SI or US", Destination: &units, Value: "SI"},
		),
		Action: func(c *cli.Context) error {
			if zone == "" || c.NArg() > 0 {
				return usagef("setup needs the zone: ovenward setup --zone America/Halifax")
			}
			done, err := e.record(c.Context, w, &inventory.SiteSet{Zone: zone, Units: units})
			if err != nil {
				return err
			}
			return e.tell(e.acted(done, "set up", e.site), "SET UP   site %s, zone %s\nnext: QA approves a rule set: ovenward rules list", e.site, zone)
		},
	}
}
