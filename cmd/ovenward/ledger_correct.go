package main

import (
	"context"
	"encoding/json"
	"strings"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
)

// correctOptions are the options of "ovenward ledger correct".
type correctOptions struct {
	writeOptions
	Reason string
	Set    cli.StringSlice
	Void   bool
}

func newLedgerCorrectCommand(e *env) *cli.Command {
	var o correctOptions
	return &cli.Command{
		Name: "correct", Usage: "put a fact right: it stays, and a new one supersedes it", ArgsUsage: "ID",
		Description: `   ovenward ledger correct 0198... --at "2025-06-05 07:00" --reason "typed 17:00"
   ovenward ledger correct 0198... --set pieces=30 --reason "counted again"`,
		Flags: append(o.flags(),
			&cli.StringFlag{Name: "reason", Usage: "`WHY` it was wrong", Destination: &o.Reason},
			&cli.StringSliceFlag{Name: "set", Usage: "`FIELD=VALUE` that is right, by its name in the fact; may be given again", Destination: &o.Set},
			&cli.BoolFlag{Name: "void", Usage: "it never happened", Destination: &o.Void}),
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 {
				return usagef("ledger correct takes one fact's id: see ovenward ledger list")
			}
			return runLedgerCorrect(c.Context, e, o, c.Args().First())
		},
	}
}

func runLedgerCorrect(ctx context.Context, e *env, o correctOptions, id string) error {
	a, err := e.open(ctx)
	if err != nil {
		return err
	}
	c := app.Correction{Fact: id, Reason: o.Reason, By: e.by, Void: o.Void, DryRun: o.DryRun, Values: map[string]json.RawMessage{}}
	if c.By == "" {
		return &inventory.Refusal{Code: inventory.NotAuthorised, Subject: "by", Why: "nobody is named as the one who corrects this",
			Next: "give --by with your badge or name"}
	}
	if c.At, err = instant(ctx, a, o.At); err != nil {
		return err
	}
	for _, s := range o.Set.Value() {
		name, value, ok := strings.Cut(s, "=")
		if !ok {
			return usagef("--set %q: write field=value", s)
		}
		c.Values[name] = literal(value)
	}
	done, err := a.Correct(ctx, c)
	if err != nil {
		return err
	}
	if o.DryRun {
		e.ranDry()
	}
	for _, w := range done.Warnings {
		e.warn("%s", w)
	}
	if e.dry {
		return e.tell(e.acted(done, "corrected", id), "CORRECTED fact %s", id)
	}
	return e.tell(e.acted(done, "corrected", id), "CORRECTED fact %s by fact %d (%s)", id, done.Fact.Seq, done.Fact.ID)
}

// literal is a value as JSON: numbers, lists and true or false as they are,
// everything else as text.
func literal(s string) json.RawMessage {
	if json.Valid([]byte(s)) {
		return json.RawMessage(s)
	}
	quoted, err := json.Marshal(s)
	if err != nil {
		return nil
	}
	return quoted
}
