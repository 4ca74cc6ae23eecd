package main

import (
	"context"

	"github.com/urfave/cli/v2"

	"ovenward/inventory"
)

func newDecideSensorCommand(e *env) *cli.Command {
	var w writeOptions
	var entry inventory.Settled
	return &cli.Command{
		Name: "sensor", Usage: "decide on all that a check of a sensor casts doubt on, joints as well", ArgsUsage: "SENSOR",
		Description: `A check that found a sensor wrong changes what was judged before it: oven affected
lists it, and exposure, trace and joint list mark it until QA has decided. What
is in stock can be decided bundle by bundle; this decides on everything that the
check touches, with the joints that rods went into. Judgements stay as they come
out now: accepted stock that needs a bake still needs it.

   ovenward oven affected H1
   ovenward decide sensor H1 --disposition accept --why 'UT of J-101 found nothing' --proposer A2
   ovenward decide sensor H1 --check '2026-03-02 06:30' --disposition reject --why '...' --proposer A2`,
		Flags: append(w.flags(),
			&cli.StringFlag{Name: "check", Usage: "the `TIME` of an earlier check than the last", Destination: &entry.Check},
			&cli.StringFlag{Name: "disposition", Usage: "`WHAT`: accept, or reject where joints are to be examined or repaired", Destination: &entry.Disposition},
			&cli.StringFlag{Name: "why", Usage: "`REASON` with its evidence", Destination: &entry.Why},
			&cli.StringFlag{Name: "proposer", Usage: "`WHO` proposed it", Destination: &entry.Proposer}),
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 {
				return usagef("decide sensor takes one sensor")
			}
			entry.Sensor = c.Args().First()
			return runDecideSensor(c.Context, e, w, &entry)
		},
	}
}

func runDecideSensor(ctx context.Context, e *env, w writeOptions, entry *inventory.Settled) error {
	done, err := e.record(ctx, w, entry)
	if err != nil {
		return err
	}
	p, err := e.screen(ctx, "")
	if err != nil {
		return err
	}
	s := done.Entry.(*inventory.Settled)
	r, err := p.app.Affected(ctx, s.Sensor, s.Made)
	if err != nil {
		return err
	}
	return e.tell(e.acted(done, "decided", s.Sensor), "DECIDED  sensor %s, check of %s: %s (%s); %s, joints: %s", s.Sensor, s.Check, s.Disposition,
		s.Why, counted(len(r.Changed), "judgement", "judgements"), orNone(r.Joints()))
}
