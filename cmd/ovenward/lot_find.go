package main

import (
	"context"
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
	"ovenward/inventory"
)

func newLotFindCommand(e *env) *cli.Command {
	return &cli.Command{
		Name: "find", Usage: "lots by heat number, maker's lot number, certificate number or class", ArgsUsage: "TEXT",
		Description: `What is written on a label or a paper, or what the scanner gives, or a part of it;
capitals, spaces and hyphens make no difference:

   ovenward lot find 7B21
   ovenward lot find C-1042
   ovenward lot find "e7018-1 h4r"`,
		Action: func(c *cli.Context) error {
			if c.NArg() == 0 {
				return usagef("lot find takes what is written on the label or the paper, or a part of it")
			}
			return runLotFind(c.Context, e, strings.Join(c.Args().Slice(), " "))
		},
	}
}

// foundAnswer is a lot with what it was found by.
type foundAnswer struct {
	Lot    string              `json:"lot"`
	Class  string              `json:"class"`
	Size   string              `json:"size,omitempty"`
	Maker  string              `json:"maker,omitempty"`
	Status string              `json:"status"`
	Left   string              `json:"left"`
	By     []inventory.Mention `json:"found_by"`
}

func runLotFind(ctx context.Context, e *env, text string) error {
	p, err := e.screen(ctx, "")
	if err != nil {
		return err
	}
	lots, err := p.app.FindLots(ctx, text)
	if err != nil {
		return err
	}
	t := show.Table{Head: []string{"lot", "class", "maker", "left", "status", "found by"}, Right: []int{3},
		Empty: fmt.Sprintf("Nothing of %q is on a label or a paper here.", text)}
	answers := []foundAnswer{}
	for _, l := range lots {
		a := newFound(l)
		answers = append(answers, a)
		t.Add(a.Lot, strings.TrimSpace(a.Class+" "+a.Size), a.Maker, a.Left, a.Status, a.by())
	}
	return p.Answer(answers, t)
}

func newFound(l app.FoundLot) foundAnswer {
	a := foundAnswer{Lot: l.Lot.Code, Class: l.Lot.Mark.Canonical, Size: l.Lot.Size, Maker: l.Lot.Maker, Status: string(l.Lot.Status), By: l.By,
		Left: fmt.Sprint(l.Left.Pieces)}
	if !l.Lot.Counted() {
		a.Left = l.Left.Mass.String()
	}
	return a
}

func (a foundAnswer) by() string {
	words := make([]string, len(a.By))
	for i, m := range a.By {
		words[i] = m.What + " " + m.Text
	}
	return strings.Join(words, ", ")
}
