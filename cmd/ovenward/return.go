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

// returnOptions are the options of "ovenward return".
type returnOptions struct {
	writeOptions
	Unused, Stubs, Damaged, Unidentified, Mass string
	Bundle, Into, As                           string
	Layers                                     string
	Wet                                        bool
}

func newReturnCommand(e *env) *cli.Command {
	var o returnOptions
	return &cli.Command{
		Name:      "return",
		Category:  atTheWindow,
		Usage:     "take rods back on a slip and say what becomes of them",
		ArgsUsage: "SLIP",
		Description: `Count what came back: unused rods, stubs, damaged rods, rods without a mark.
Together they cannot be more than went out. The answer says whether the unused
rods are held, baked or thrown away, and until when.

   ovenward return S0001-P --unused 18 --stubs 22 --into H1`,
		Flags: append(o.actFlags(),
			&cli.StringFlag{Name: "unused", Aliases: []string{"n"}, Usage: "`NUMBER` of unused rods", Destination: &o.Unused},
			&cli.StringFlag{Name: "stubs", Usage: "`NUMBER` of stubs", Destination: &o.Stubs},
			&cli.StringFlag{Name: "damaged", Usage: "`NUMBER` of rods with a damaged covering", Destination: &o.Damaged},
			&cli.StringFlag{Name: "unidentified", Usage: "`NUMBER` of rods without a readable mark", Destination: &o.Unidentified},
			&cli.StringFlag{Name: "mass", Usage: "unused `MASS` of wire or flux", Destination: &o.Mass},
			&cli.StringFlag{Name: "into", Usage: "`PLACE` the unused rods go, such as H1, or its rack, H1/3", Destination: &o.Into},
			layersFlag(&o.Layers),
			&cli.StringFlag{Name: "as", Usage: "`NAME` of the new bundle; given by the program where left out", Destination: &o.As},
			&cli.StringFlag{Name: "bundle", Usage: "`BUNDLE` of the slip that was set apart", Destination: &o.Bundle},
			&cli.BoolFlag{Name: "wet", Usage: "the unused rods got wet", Destination: &o.Wet},
		),
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 {
				return usagef("return takes one slip: ovenward return SLIP --unused NUMBER --into PLACE")
			}
			return runReturn(c.Context, e, o, c.Args().First())
		},
	}
}

func runReturn(ctx context.Context, e *env, o returnOptions, slip string) error {
	entry := &inventory.Returned{Slip: slip, Bundle: o.Bundle, UnusedMass: o.Mass, Wet: o.Wet, Into: o.Into, As: o.As}
	if m, err := measure.ParseMass(o.Mass); err == nil && m == 0 {
		entry.UnusedMass = "" // nothing came back
	}
	if o.Unused == "" && o.Mass == "" {
		return usagef("say how many unused rods came back with --unused, 0 for none; wire and flux are weighed: --mass")
	}
	for _, c := range []struct {
		text, field string
		into        *inventory.Count
	}{
		{o.Unused, "unused", &entry.Unused}, {o.Stubs, "stubs", &entry.Stubs},
		{o.Damaged, "damaged", &entry.Damaged}, {o.Unidentified, "unidentified", &entry.Unidentified}, {o.Layers, "layers", &entry.Layers},
	} {
		if err := count(c.text, c.field, c.into); err != nil {
			return err
		}
	}
	done, err := e.record(ctx, o.writeOptions, entry)
	if err != nil {
		return err
	}
	return e.printReturn(ctx, done)
}

// returnAnswer is a return for a program.
type returnAnswer struct {
	Slip   string            `json:"slip"`
	Bundle string            `json:"bundle,omitempty"`
	Unused int64             `json:"unused"`
	Mass   string            `json:"unused_mass,omitempty"`
	Stubs  int64             `json:"stubs"`
	Broken int64             `json:"damaged"`
	NoMark int64             `json:"unidentified"`
	Into   string            `json:"into,omitempty"`
	Rack   string            `json:"rack,omitempty"`
	At     measure.Instant   `json:"at_us"`
	Judged *inventory.Judged `json:"judged"`
	Advice *adviceAnswer     `json:"advice,omitempty"`
	DryRun bool              `json:"dry_run,omitempty"`
	FactID string            `json:"fact"`
}

func (e *env) printReturn(ctx context.Context, done app.Done) error {
	p, err := e.screen(ctx, "")
	if err != nil {
		return err
	}
	entry := done.Entry.(*inventory.Returned)
	ans := returnAnswer{Slip: entry.Slip, Bundle: entry.As, Unused: int64(entry.Unused), Mass: entry.UnusedMass, Stubs: int64(entry.Stubs),
		Broken: int64(entry.Damaged), NoMark: int64(entry.Unidentified), Into: entry.Into, Rack: entry.Rack, At: done.Fact.At,
		Judged: entry.Judged, Advice: newAdviceAnswer(done.Advice), DryRun: e.dry, FactID: e.acted(done, "", "").Fact}
	if p.Format != show.AsTable {
		t := show.Table{Head: []string{"slip", "bundle", "unused", "into", "verdict", "exposed", "limit", "ready", "why"}}
		t.Add(ans.Slip, ans.Bundle, ans.amount(), inventory.Where(ans.Into, ans.Rack), string(ans.Judged.Verdict), ans.Judged.Most, ans.Judged.Limit,
			when(ans.Judged.Ready, p.zone), ans.Judged.Why)
		return p.Answer(ans, t)
	}
	for _, l := range append(ans.lines(p.zone), adviceLines(done.Advice)...) {
		if err := p.Line("%-8s %s", l[0], l[1]); err != nil {
			return err
		}
	}
	return nil
}

// lines say first what to do with the rods.
func (r returnAnswer) lines(zone *time.Location) [][2]string {
	j := r.Judged
	if r.Bundle == "" {
		return [][2]string{{"CLOSED", "slip " + r.Slip + ", nothing came back unused"}, {"exposed", exposed(j)}}
	}
	what, used := "rods", "rods"
	amount := inventory.Rods(r.Unused)
	if r.Mass != "" {
		what, used, amount = "unused", "some", r.Mass
	}
	verdict, do := strings.ToUpper(string(j.Verdict)), j.Why
	switch j.Verdict {
	case inventory.Hold:
		do = "until " + from(j.Ready, zone, r.At) + " if the oven stays in range"
	case inventory.Bake:
		do = "before use: " + j.Why
	case inventory.Discard:
		do = "throw away: " + j.Why
	case inventory.QAHold:
		do = "QA decides: " + j.Why
	case inventory.Out: // it is back, but not at temperature
		verdict = "OPEN"
	default: // the verdict says it
	}
	out := [][2]string{{verdict, do}, {what, fmt.Sprintf("%s, now bundle %s in %s", amount, r.Bundle, inventory.Where(r.Into, r.Rack))}, {"exposed", exposed(j)},
		{"rule", fmt.Sprintf("%s/%s: %s", j.Rules, j.Row, j.Source)}}
	if len(j.Joints) > 0 {
		out = append(out, [2]string{"joints", strings.Join(j.Joints, ", ") + " go to QA: " + used + " may have been used past the limit"})
	}
	return out
}

// amount is the number of unused rods, or their mass.
func (r returnAnswer) amount() string {
	if r.Mass != "" {
		return r.Mass
	}
	return fmt.Sprint(r.Unused)
}

func exposed(j *inventory.Judged) string {
	s := recorded(j.Most) + " h"
	if j.Least != j.Most {
		s = recorded(j.Least) + " to " + recorded(j.Most) + " h (evidence is missing)"
	}
	if j.Limit != "" {
		s += " of " + j.Limit + " h"
	}
	return s
}
