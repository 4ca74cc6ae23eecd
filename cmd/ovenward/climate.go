package main

import (
	"context"

	"github.com/urfave/cli/v2"

	"ovenward/inventory"
)

func newClimateCommand(e *env) *cli.Command {
	return group("climate", "the air of the stores and of the shop", atTheWindow,
		newClimateAddCommand(e), newClimateLoadCommand(e), newClimateHistoryCommand(e), newClimateReadingsCommand(e))
}

func newClimateAddCommand(e *env) *cli.Command {
	var w writeOptions
	var weather string
	return &cli.Command{
		Name: "add", Usage: "enter what the instrument on the wall shows", ArgsUsage: "PLACE TEMPERATURE HUMIDITY",
		Description: `   ovenward climate add store 21C 48% --weather rain
   ovenward climate add "open air" "24 C" "61 % RH"

The place is a shelf, "store", or "open air" for the shop where rods are out. A
second reading of the same minute puts the first right.`,
		Flags: append(w.flags(), &cli.StringFlag{Name: "weather", Usage: "the `WEATHER` outside, in your own words", Destination: &weather}),
		Action: func(c *cli.Context) error {
			if c.NArg() != 3 {
				return usagef("climate add takes a place, a temperature and a humidity: ovenward climate add store 21C 48%%")
			}
			entry := &inventory.ClimateRead{Place: c.Args().Get(0), Temperature: c.Args().Get(1), Humidity: c.Args().Get(2), Weather: weather}
			return runClimateAdd(c.Context, e, w, entry)
		},
	}
}

func runClimateAdd(ctx context.Context, e *env, w writeOptions, entry *inventory.ClimateRead) error {
	done, err := e.record(ctx, w, entry)
	if err != nil {
		return err
	}
	p, err := e.screen(ctx, "")
	if err != nil {
		return err
	}
	kept := done.Entry.(*inventory.ClimateRead)
	said, err := p.app.SayAir(ctx, kept.Temperature, kept.Humidity)
	if err != nil {
		return err
	}
	return e.tell(e.acted(done, "read", kept.Place), "READ     the air of %s: %s, at %s", kept.Place, said, when(done.Fact.At, p.zone))
}
