package main

import (
	"context"
	"fmt"
	"time"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
	"ovenward/inventory"
	"ovenward/inventory/measure"
)

func newOvenShutdownCommand(e *env) *cli.Command {
	var w writeOptions
	var s inventory.ShutDown
	return &cli.Command{
		Name: "shutdown", Usage: "announce that an oven is switched off on purpose", ArgsUsage: "PLACE",
		Description: `   ovenward oven shutdown H1 --from "2025-06-06 18:00" --to "2025-06-09 06:00" --why weekend

Lists what is in it and what each of that will need when it is switched on again.
What is inside is judged by what is proven, as ever: a good reading before and
one after prove nothing of the time between. While it lasts no alarm is raised for
a cold or a silent oven; how many were not is counted. To end it earlier, announce
it again with the same --from and another --to.`,
		Flags: append(w.flags(),
			&cli.StringFlag{Name: "from", Usage: "the `TIME` it is switched off; now where left out", Destination: &s.From},
			&cli.StringFlag{Name: "to", Usage: "the `TIME` it is switched on again", Destination: &s.To},
			&cli.StringFlag{Name: "why", Usage: "the `REASON`", Destination: &s.Why}),
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 || s.To == "" {
				return usagef("oven shutdown takes one place and when it ends: ovenward oven shutdown H1 --to \"2025-06-09 06:00\" --why weekend")
			}
			s.Place = c.Args().First()
			return runOvenShutdown(c.Context, e, w, &s)
		},
	}
}

func runOvenShutdown(ctx context.Context, e *env, w writeOptions, s *inventory.ShutDown) error {
	done, err := e.record(ctx, w, s)
	if err != nil {
		return err
	}
	s = done.Entry.(*inventory.ShutDown)
	p, err := e.screen(ctx, "")
	if err != nil {
		return err
	}
	if e.dry {
		return e.tell(e.acted(done, "shut down", s.Place), "OFF      %s from %s to %s", s.Place, s.From, s.To)
	}
	from, err := p.app.Instant(ctx, s.From)
	if err != nil {
		return err
	}
	list, err := p.app.Shutdowns(ctx, s.Place, from, from+1)
	if err != nil {
		return err
	}
	return sayShutdowns(p, list)
}

func newOvenShutdownsCommand(e *env) *cli.Command {
	var t timeOptions
	return &cli.Command{
		Name: "shutdowns", Usage: "planned shutdowns, what is in them, and what start-up needs", ArgsUsage: "[PLACE]",
		Flags: t.flags(),
		Action: func(c *cli.Context) error {
			if c.NArg() > 1 {
				return usagef("oven shutdowns takes one place, or none for all")
			}
			return runOvenShutdowns(c.Context, e, c.Args().First(), t)
		},
	}
}

func runOvenShutdowns(ctx context.Context, e *env, place string, t timeOptions) error {
	p, err := e.screen(ctx, "")
	if err != nil {
		return err
	}
	from, to, err := t.instants(ctx, p.app)
	if err != nil {
		return err
	}
	if to == 0 {
		to = measure.Instant(1<<63 - 1) // those to come, too
	}
	if place != "" {
		if _, err := p.app.Place(ctx, place); err != nil {
			return err
		}
	}
	list, err := p.app.Shutdowns(ctx, place, from, to)
	if err != nil {
		return err
	}
	return sayShutdowns(p, list)
}

// shutdownAnswer is a planned shutdown, for a program.
type shutdownAnswer struct {
	Place      string          `json:"place"`
	From       measure.Instant `json:"from_us"`
	To         measure.Instant `json:"to_us"`
	Why        string          `json:"why"`
	By         string          `json:"by"`
	Suppressed int             `json:"suppressed"` // alarms of a cold or silent oven that were not raised
	Inside     []leftInAnswer  `json:"inside"`
}

type leftInAnswer struct {
	stockAnswer
	AtEnd   inventory.Verdict `json:"at_end"`
	StartUp string            `json:"start_up"`
}

func newShutdownAnswer(s app.Shutdown, zone *time.Location) shutdownAnswer {
	ans := shutdownAnswer{Place: s.Place, From: s.From, To: s.To, Why: s.Why, By: s.By, Suppressed: len(s.Hushed),
		Inside: []leftInAnswer{}}
	for _, l := range s.Inside {
		ans.Inside = append(ans.Inside, leftInAnswer{stockLine(l.Look, l.Judgement.At, zone), l.AtEnd.Verdict, l.Do})
	}
	return ans
}

func sayShutdowns(p screen, list []app.Shutdown) error {
	answers := []shutdownAnswer{}
	var tables []show.Table
	for _, s := range list {
		a := newShutdownAnswer(s, p.zone)
		answers = append(answers, a)
		tables = append(tables, a.table(p.zone))
	}
	if p.Format == show.AsCSV {
		return p.Answer(answers, shutdownRows(answers, p.zone))
	}
	if len(tables) == 0 {
		tables = []show.Table{{Empty: "No shutdown is planned."}}
	}
	return p.Answer(answers, tables...)
}

func (a shutdownAnswer) table(zone *time.Location) show.Table {
	t := show.Table{Title: fmt.Sprintf("OFF      %s from %s to %s: %s", a.Place, when(a.From, zone), when(a.To, zone), a.Why),
		Head: []string{"bundle", "class", "amount", "lot", "place", "when it goes off", "at start-up"}, Right: []int{2},
		Empty: "Nothing is in it."}
	for _, b := range a.Inside {
		t.Add(b.Bundle, b.Class+" "+b.Size, b.amount(), b.Lot, b.where(), b.State, b.StartUp)
	}
	if a.Suppressed > 0 {
		t.Note = fmt.Sprintf("%s of a cold or silent oven not raised, by design", counted(a.Suppressed, "alarm", "alarms"))
	}
	return t
}

// shutdownRows is every bundle of every shutdown on a line of its own.
func shutdownRows(list []shutdownAnswer, zone *time.Location) show.Table {
	t := show.Table{Head: []string{"place", "from", "to", "why", "by", "alarms not raised", "bundle", "state", "at start-up"}}
	for _, a := range list {
		head := []string{a.Place, when(a.From, zone), when(a.To, zone), a.Why, a.By, fmt.Sprint(a.Suppressed)}
		if len(a.Inside) == 0 {
			t.Add(append(head, "", "", "")...)
		}
		for _, b := range a.Inside {
			t.Add(append(head[:6:6], b.Bundle, b.State, b.StartUp)...)
		}
	}
	return t
}
