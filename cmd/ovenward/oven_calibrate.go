package main

import (
	"context"
	"fmt"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
	"ovenward/inventory"
	"ovenward/inventory/measure"
)

func newOvenCalibrateCommand(e *env) *cli.Command {
	var w writeOptions
	var c inventory.Calibrated
	return &cli.Command{
		Name: "calibrate", Usage: "record what a check of a sensor found", ArgsUsage: "SENSOR",
		Description: `   ovenward oven calibrate T-17 --error "1.5 C" --due 2026-06-01
   ovenward oven calibrate T-17 --as-found "12 C" --as-left "0 C" --dry-run

The error is what the sensor shows above the true temperature. As it was left it
counts from the check on; as it was found it reaches back to the check before:
in that time the sensor may have drifted from the one to the other, nobody knows
when, and of what a reading may have meant the worse is taken. What that changes
in holds, bakes, issues and returns is listed; what was decided stays recorded.`,
		Flags: append(w.flags(),
			&cli.StringFlag{Name: "error", Aliases: []string{"as-left"}, Destination: &c.Error,
				Usage: "what it shows above the true temperature from now on, as a `DIFFERENCE` such as 2 C or -3 F"},
			&cli.StringFlag{Name: "as-found", Destination: &c.AsFound,
				Usage: "what it showed above the true temperature before it was adjusted, as a `DIFFERENCE`"},
			&cli.StringFlag{Name: "due", Destination: &c.Due,
				Usage: "the `DATE` of the next check; its readings prove nothing from then on"}),
		Action: func(ctx *cli.Context) error {
			if ctx.NArg() != 1 || c.Error+c.AsFound == "" {
				return usagef("oven calibrate takes one sensor and its error: " +
					"ovenward oven calibrate T-17 --error \"1.5 C\" --due 2026-06-01")
			}
			c.Sensor = ctx.Args().First()
			return runOvenCalibrate(ctx.Context, e, w, &c)
		},
	}
}

func runOvenCalibrate(ctx context.Context, e *env, w writeOptions, c *inventory.Calibrated) error {
	done, err := e.record(ctx, w, c)
	if err != nil {
		return err
	}
	p, err := e.screen(ctx, "")
	if err != nil {
		return err
	}
	c = done.Entry.(*inventory.Calibrated)
	r, err := p.app.WouldAffect(ctx, c, done.Fact.At)
	if err != nil {
		return err
	}
	ans := newReachAnswer(r)
	did := e.acted(done, "calibrated", c.Sensor)
	ans.Done = &did
	said := fmt.Sprintf("CHECKED  sensor %s shows %s above the true temperature", c.Sensor, c.Error)
	if c.AsFound != "" {
		said += ", was found to show " + c.AsFound
	}
	if e.dry {
		said += " (dry run)"
	}
	if err := p.Line("%s", said); err != nil {
		return err
	}
	return ans.say(p)
}

func newOvenAffectedCommand(e *env) *cli.Command {
	var at string
	return &cli.Command{
		Name: "affected", Usage: "what the last check of a sensor changed in what was judged before", ArgsUsage: "SENSOR",
		Description: `   ovenward oven affected T-17
   ovenward oven affected T-17 --at "2025-06-05 10:00"

Every hold, bake, issue and return since the check before whose judgement comes
out differently, with slips, joints and what is still in stock.`,
		Flags: []cli.Flag{&cli.StringFlag{Name: "at", Usage: "the `TIME` of an earlier check", Destination: &at}},
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 {
				return usagef("oven affected takes one sensor")
			}
			return runOvenAffected(c.Context, e, c.Args().First(), at)
		},
	}
}

func runOvenAffected(ctx context.Context, e *env, sensor, text string) error {
	p, err := e.screen(ctx, "")
	if err != nil {
		return err
	}
	at, err := instant(ctx, p.app, text)
	if err != nil {
		return err
	}
	r, err := p.app.Affected(ctx, sensor, at)
	if err != nil {
		return err
	}
	return newReachAnswer(r).say(p)
}

// reachAnswer is what a check of a sensor changes, for a program.
type reachAnswer struct {
	Done     *act            `json:"done,omitempty"` // where the check is recorded now
	Sensor   string          `json:"sensor"`
	Place    string          `json:"place"`
	Checked  measure.Instant `json:"checked_us"`
	Since    measure.Instant `json:"since_us,omitempty"`
	Compared int             `json:"compared"`
	Joints   []string        `json:"joints"`
	Changed  []changedAnswer `json:"changed"`
}

type changedAnswer struct {
	Act    app.Act           `json:"act"`
	At     measure.Instant   `json:"at_us"`
	Bundle string            `json:"bundle"`
	Lot    string            `json:"lot"`
	Slip   string            `json:"slip,omitempty"`
	Joints []string          `json:"joints"`
	Was    inventory.Verdict `json:"was"`
	Is     inventory.Verdict `json:"is"`
	WasMax string            `json:"exposure_was"`
	IsMax  string            `json:"exposure_is"`
	Why    string            `json:"why"`
}

func newReachAnswer(r app.Reach) reachAnswer {
	ans := reachAnswer{Sensor: r.Sensor.Name, Place: r.Sensor.Place, Checked: r.Check.At, Since: r.Since,
		Compared: r.Compared, Joints: some(r.Joints()), Changed: []changedAnswer{}}
	for _, c := range r.Changed {
		ans.Changed = append(ans.Changed, changedAnswer{Act: c.Act, At: c.At, Bundle: c.Bundle, Lot: c.Lot,
			Slip: c.Slip, Joints: some(c.Joints), Was: c.Was.Verdict, Is: c.Is.Verdict,
			WasMax: c.Was.Most.String(), IsMax: c.Is.Most.String(), Why: c.Is.Why})
	}
	return ans
}

// say answers with what changes, for QA to look at.
func (a reachAnswer) say(p screen) error {
	t := a.table(p.zone)
	if err := p.Answer(a, t); err != nil || len(a.Joints) == 0 || p.Format != show.AsTable {
		return err
	}
	return sentence(p.Printer, "joints   ", strings.Join(a.Joints, ", "))
}

func (a reachAnswer) table(zone *time.Location) show.Table {
	since := "the first reading"
	if a.Since != 0 {
		since = "the check of " + when(a.Since, zone)
	}
	t := show.Table{
		Head:  []string{"when", "what", "bundle", "slip", "joints", "was", "is", "exposure was", "is", "why"},
		Spare: []int{9, 7},
		Empty: fmt.Sprintf("None of %s at %s since %s comes out differently.",
			counted(a.Compared, "judgement", "judgements"), a.Place, since),
		Note: "next: QA looks at each slip and its joints: ovenward trace SLIP; and decides on all of it: ovenward decide sensor " + a.Sensor,
	}
	if len(a.Changed) > 0 {
		t.Title = fmt.Sprintf("%d of %s since %s come out differently; what was decided stays recorded",
			len(a.Changed), counted(a.Compared, "judgement", "judgements"), since)
	}
	for _, c := range a.Changed {
		t.Add(when(c.At, zone), string(c.Act), c.Bundle, c.Slip, strings.Join(c.Joints, " "), string(c.Was), string(c.Is),
			c.WasMax, c.IsMax, c.Why)
	}
	return t
}
