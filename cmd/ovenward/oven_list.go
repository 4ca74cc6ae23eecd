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

func newOvenListCommand(e *env) *cli.Command {
	return &cli.Command{
		Name: "list", Usage: "the ovens, the temperature that each keeps, and which stock that is no storage for",
		Description: `The usual temperature is the middle of the readings of the last seven days; it
is held against what the rule set in force asks for every class in stock.`,
		Action: func(c *cli.Context) error {
			if c.NArg() != 0 {
				return usagef("oven list takes no arguments; one oven's readings: ovenward oven history PLACE")
			}
			return runOvenList(c.Context, e)
		},
	}
}

// ovenAnswer is an oven as it is used, for a program.
type ovenAnswer struct {
	Place   string              `json:"place"`
	Kind    inventory.PlaceKind `json:"kind"`
	Sensors []string            `json:"sensors"`
	Last    string              `json:"last,omitempty"`
	LastAt  measure.Instant     `json:"last_us,omitempty"`
	Usual   string              `json:"usual,omitempty"`
	Unfit   []unfitAnswer       `json:"no_storage_for"`
}

type unfitAnswer struct {
	Class  string `json:"class"`
	Is     string `json:"is"`
	Asked  string `json:"asked"`
	Rule   string `json:"rule"`
	Source string `json:"source"`
}

func runOvenList(ctx context.Context, e *env) error {
	p, err := e.screen(ctx, "")
	if err != nil {
		return err
	}
	list, err := p.app.Ovens(ctx)
	if err != nil {
		return err
	}
	answers := []ovenAnswer{}
	for _, l := range list {
		answers = append(answers, newOvenAnswer(l, p.units))
	}
	t := ovenTable(answers, p.zone)
	for _, a := range answers {
		for _, u := range a.Unfit {
			e.warn("%s is usually at %s, %s for %s: asked is %s [rule %s; %s]", a.Place, a.Usual, u.Is, u.Class, u.Asked, u.Rule, u.Source)
		}
	}
	return p.Answer(answers, t)
}

func newOvenAnswer(l app.OvenLook, u measure.UnitSystem) ovenAnswer {
	a := ovenAnswer{Place: l.Place.Name, Kind: l.Place.Kind, Sensors: some(l.Sensors), Unfit: []unfitAnswer{}}
	if l.Read {
		a.Last, a.LastAt, a.Usual = l.Last.Temp.In(u), l.Last.At, l.Usual.In(u)
	}
	for _, x := range l.Unfit {
		a.Unfit = append(a.Unfit, unfitAnswer{x.Class, x.Finding.String(), x.Asked, x.Rule, x.Source})
	}
	return a
}

func ovenTable(list []ovenAnswer, zone *time.Location) show.Table {
	t := show.Table{Head: []string{"place", "kind", "usually at", "last read", "at", "no storage for"},
		Empty: "No oven is set up.\nnext: ovenward oven add H1 --kind \"holding oven\""}
	for _, a := range list {
		var classes []string
		for _, u := range a.Unfit {
			classes = append(classes, fmt.Sprintf("%s (%s)", u.Class, u.Is))
		}
		t.Add(a.Place, string(a.Kind), a.Usual, a.Last, when(a.LastAt, zone), strings.Join(classes, ", "))
	}
	return t
}
