package main

import (
	"context"
	"errors"
	"fmt"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
	"ovenward/inventory/measure"
)

func newLedgerReplayCommand(e *env) *cli.Command {
	return &cli.Command{
		Name: "replay", Usage: "make every stored decision again; each must come to the same",
		Description: `Each issue, return, scrapping and blend keeps the judgement that led to it. Here
each is decided again from the facts that were entered before it and the readings
that had come in by then. What comes to anything else is listed, with what is stored
and what it comes to, and the command fails. Readings that were stored before this
program kept when they came in count as known from when they were made.`,
		Action: func(c *cli.Context) error { return runLedgerReplay(c.Context, e) },
	}
}

// errRedecided ends a replay in which a decision came to something else; it was
// printed.
var errRedecided = errors.New("a stored decision comes to something else now")

// differingAnswer is a decision that comes to something else, for a program.
type differingAnswer struct {
	Seq    int64           `json:"seq"`
	Fact   string          `json:"fact"`
	Kind   string          `json:"kind"`
	Of     string          `json:"of"`
	At     measure.Instant `json:"at_us"`
	Stored string          `json:"stored"`
	Now    string          `json:"now"`
}

func runLedgerReplay(ctx context.Context, e *env) error {
	p, err := e.screen(ctx, "")
	if err != nil {
		return err
	}
	r, err := p.app.Redecide(ctx)
	if err != nil {
		return err
	}
	answers := []differingAnswer{}
	for _, d := range r.Different {
		answers = append(answers, differingAnswer{d.Fact.Seq, d.Fact.ID, d.Fact.Kind, d.Of, d.Fact.At, d.Stored, d.Now})
	}
	alike := r.Decisions - int64(len(r.Different))
	err = p.Answer(map[string]any{"site": p.app.Site, "decisions": r.Decisions, "alike": alike, "different": answers}, redecided(p, r, alike))
	if err == nil && len(r.Different) > 0 {
		err = errRedecided
	}
	return err
}

func redecided(p screen, r app.Redecided, alike int64) show.Table {
	t := show.Table{Title: fmt.Sprintf("site %s: %d stored decisions made again, %d came to the same", p.app.Site, r.Decisions, alike),
		Head: []string{"fact", "kind", "of", "at", "stored", "now"}, Right: []int{0}, Empty: "None came to anything else."}
	for _, d := range r.Different {
		t.Add(fmt.Sprint(d.Fact.Seq), d.Fact.Kind, d.Of, when(d.Fact.At, p.zone), d.Stored, d.Now)
	}
	return t
}
