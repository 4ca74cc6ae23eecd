package main

import (
	"context"
	"strings"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/show"
	"ovenward/inventory"
)

func newHandoverCommand(e *env) *cli.Command {
	var w writeOptions
	var in inventory.HandedOver
	return &cli.Command{
		Name:     "handover",
		Category: atTheWindow,
		Usage:    "take over the crib: what is open is shown, and that you have seen it is kept",
		Description: `Recorded by who takes over, under their own badge:

   ovenward handover --from A1 --by A2

Look first, without recording, with --dry-run.`,
		Flags: append(w.flags(),
			&cli.StringFlag{Name: "from", Usage: "`WHO` goes", Destination: &in.From},
			&cli.StringFlag{Name: "shift", Usage: "the `SHIFT` that ends, such as \"2025-06-10 18:00-06:00\"; the nearest where left out", Destination: &in.Shift},
			&cli.StringFlag{Name: "note", Usage: "`WHAT` the next shift must know", Destination: &in.Note}),
		Action: func(c *cli.Context) error {
			if c.NArg() > 0 {
				return usagef("handover takes no arguments: ovenward handover --from A1 --by A2")
			}
			return runHandover(c.Context, e, w, in)
		},
	}
}

// handoverAnswer is a hand-over for a program.
type handoverAnswer struct {
	*inventory.HandedOver
	act
}

func runHandover(ctx context.Context, e *env, w writeOptions, in inventory.HandedOver) error {
	done, err := e.record(ctx, w, &in)
	if err != nil {
		return err
	}
	p, err := e.printer()
	if err != nil {
		return err
	}
	h := done.Entry.(*inventory.HandedOver)
	t := show.Table{Title: "TAKEN OVER by " + h.To + " from " + h.From, Head: []string{"open", "what"}}
	if e.dry {
		t.Title += " (dry run)"
	}
	if h.Shift != "" {
		t.Title += ", shift " + h.Shift
	}
	for _, line := range []struct {
		name string
		list []string
	}{{"out on slips", h.Slips}, {"of these overdue", h.Overdue}, {"ovens", h.Ovens}, {"bakes running", h.Bakes}, {"QA decides on", h.Holds}} {
		text := "none"
		if len(line.list) > 0 {
			text = strings.Join(line.list, ", ")
		}
		t.Add(line.name, text)
	}
	if len(h.Machine) > 0 {
		t.Add("on machines", strings.Join(h.Machine, "; "))
	}
	return p.Answer(handoverAnswer{h, e.acted(done, "taken over", h.From)}, t)
}
