package main

import (
	"context"
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
	"ovenward/inventory"
	"ovenward/inventory/measure"
)

func newLotHeldCommand(e *env) *cli.Command {
	return &cli.Command{
		Name: "held", Usage: "lots that QA has not released, for how long, and what was written off",
		Action: func(c *cli.Context) error {
			if c.NArg() > 0 {
				return usagef("lot held takes no lot: it lists them all")
			}
			return runLotHeld(c.Context, e)
		},
	}
}

// heldAnswer is a lot that QA has not released.
type heldAnswer struct {
	Lot        string          `json:"lot"`
	Class      string          `json:"class"`
	Status     string          `json:"status"`
	Why        string          `json:"why,omitempty"`
	Since      measure.Instant `json:"since_us"`
	Days       int64           `json:"days"`
	Left       string          `json:"left"`
	Value      string          `json:"value,omitempty"` // of what is left
	WrittenOff string          `json:"written_off,omitempty"`
	Lost       string          `json:"written_off_value,omitempty"`
}

func runLotHeld(ctx context.Context, e *env) error {
	p, err := e.screen(ctx, "")
	if err != nil {
		return err
	}
	lots, err := p.app.HeldLots(ctx)
	if err != nil {
		return err
	}
	t := show.Table{Title: "NOT RELEASED at " + when(p.at, p.zone),
		Head:  []string{"lot", "class", "left", "since", "days", "status", "value", "written off"},
		Right: []int{2, 4, 6}, Empty: "Every lot is released."}
	answers := []heldAnswer{}
	for _, l := range lots {
		a := newHeld(l, p.at)
		answers = append(answers, a)
		t.Add(a.Lot, a.Class, a.Left, string(measure.DateOf(a.Since, p.zone)), fmt.Sprint(a.Days), a.state(), a.Value, a.lost())
	}
	return p.Answer(answers, t)
}

func newHeld(l app.HeldLot, now measure.Instant) heldAnswer {
	a := heldAnswer{Lot: l.Lot.Code, Class: strings.TrimSpace(l.Lot.Size + " " + l.Lot.Mark.Canonical), Status: string(l.Lot.Status),
		Why: l.Lot.Reason, Since: l.Since, Days: int64(now.Sub(l.Since) / measure.Day), Value: strings.Join(l.Value, " + "), Lost: strings.Join(l.Lost, " + ")}
	if l.Lot.Counted() {
		a.Left = fmt.Sprint(l.Left.Pieces)
		a.WrittenOff = inventory.Rods(l.WrittenOff.Pieces)
	} else {
		a.Left, a.WrittenOff = l.Left.Mass.String(), l.WrittenOff.Mass.String()
	}
	if l.WrittenOff == (app.Amount{}) {
		a.WrittenOff = ""
	}
	return a
}

func (a heldAnswer) state() string {
	if a.Why == "" {
		return a.Status
	}
	return a.Status + ": " + a.Why
}

func (a heldAnswer) lost() string {
	if a.Lost == "" {
		return a.WrittenOff
	}
	return a.WrittenOff + ", " + a.Lost
}
