package main

import (
	"cmp"
	"context"
	"fmt"

	"github.com/urfave/cli/v2"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/ovendb"
)

func newOvenCommand(e *env) *cli.Command {
	return group("oven", "places, sensors, calibrations and readings", atTheWindow,
		newOvenAddCommand(e), newOvenListCommand(e), newOvenReadCommand(e), newOvenSensorCommand(e), newOvenCalibrateCommand(e), newOvenAffectedCommand(e),
		newOvenCheckCommand(e), newOvenChecksCommand(e), newOvenShutdownCommand(e), newOvenShutdownsCommand(e),
		newOvenLoadCommand(e), newOvenHistoryCommand(e), newOvenReadingsCommand(e), newOvenFlaggedCommand(e), newOvenSourcesCommand(e))
}

func newOvenAddCommand(e *env) *cli.Command {
	var w writeOptions
	var kind string
	return &cli.Command{
		Name: "add", Usage: "set up an oven, a quiver, a shelf", ArgsUsage: "PLACE",
		Flags: append(w.flags(), &cli.StringFlag{Name: "kind", Usage: "`KIND`: holding oven, bake oven, quiver, shelf, feeder, hopper",
			Destination: &kind, Value: string(inventory.HoldingOven)}),
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 {
				return usagef("oven add takes one name: ovenward oven add H1 --kind \"holding oven\"")
			}
			name := c.Args().First()
			done, err := e.record(c.Context, w, &inventory.PlaceSet{Place: name, SortKind: kind})
			if err != nil {
				return err
			}
			name = done.Entry.(*inventory.PlaceSet).Place
			return e.tell(e.acted(done, "added", name), "ADDED    %s, a %s", name, kind)
		},
	}
}

func newOvenSensorCommand(e *env) *cli.Command {
	var w writeOptions
	var at, position string
	return &cli.Command{
		Name: "sensor", Usage: "put a sensor at a place", ArgsUsage: "SENSOR",
		Flags: append(w.flags(), &cli.StringFlag{Name: "place", Usage: "the `PLACE` it is at", Destination: &at},
			&cli.StringFlag{Name: "position", Usage: "`WHERE` in it: air, or load for one among the rods", Destination: &position}),
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 || at == "" {
				return usagef("oven sensor takes one sensor and its place: ovenward oven sensor T-17 --place H1")
			}
			name := c.Args().First()
			done, err := e.record(c.Context, w, &inventory.SensorSet{Sensor: name, Place: at, Position: position})
			if err != nil {
				return err
			}
			kept := done.Entry.(*inventory.SensorSet)
			name, at = kept.Sensor, kept.Place
			return e.tell(e.acted(done, "added", name), "ADDED    sensor %s at %s, in the %s", name, at, cmp.Or(position, "air"))
		},
	}
}

func newOvenReadCommand(e *env) *cli.Command {
	var at string
	var confirm, dry bool
	return &cli.Command{
		Name: "read", Usage: "enter one reading", ArgsUsage: "PLACE TEMPERATURE",
		Description: `   ovenward oven read H1 "250 F"`,
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "at", Usage: "`TIME` it was read; now where left out", Destination: &at},
			&cli.BoolFlag{Name: "confirm", Usage: "the reading is true although no oven of the kind shows it", Destination: &confirm},
			&cli.BoolFlag{Name: "dry-run", Usage: "say what would happen and write nothing", Destination: &dry}},
		Action: func(c *cli.Context) error {
			if c.NArg() != 2 {
				return usagef("oven read takes a place and a temperature with its unit: ovenward oven read H1 \"120 C\"")
			}
			return runOvenRead(c.Context, e, c.Args().Get(0), c.Args().Get(1), at, confirm, dry)
		},
	}
}

// notYet refuses a reading ahead of its time, which would prove an oven hot that
// nobody has looked at.
func notYet(place, at, now string) error {
	return &inventory.Refusal{Code: inventory.Future, Subject: place, Value: at, Limit: now,
		Why:  fmt.Sprintf("it would be read at %s and the clock says %s", at, now),
		Next: "give the time at which it was read; check this machine's clock if that is it"}
}

func runOvenRead(ctx context.Context, e *env, place, value, atText string, confirm, dry bool) error {
	t, err := measure.ParseTemperature(value)
	if err != nil {
		return inventory.FieldRefusal("temperature", err)
	}
	a, err := e.open(ctx)
	if err != nil {
		return err
	}
	at, err := a.Instant(ctx, atText)
	if err != nil {
		return err
	}
	words, err := a.Words(ctx)
	if err != nil {
		return err
	}
	zone := words.Zone
	if now := measure.At(e.now()); at > now {
		return notYet(place, at.In(zone), now.In(zone))
	}
	r := ovendb.Reading{Sensor: place, At: at, Temp: t}
	added := false
	if dry {
		added, err = a.TryRead(ctx, value, r, confirm)
		added = !added
	} else {
		added, err = a.Read(ctx, e.by, value, r, confirm)
	}
	if err != nil {
		return err
	}
	if dry {
		e.ranDry()
	}
	answer := act{Done: "read", What: place, Repeated: !added}
	if !added {
		return e.tell(answer, "KNOWN    %s was read at %s before; nothing was written", place, at.In(zone))
	}
	return e.tell(answer, "READ     %s %s at %s", place, t.InBoth(words.Units), when(at, zone))
}
