package main

import (
	"context"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/app"
	"ovenward/inventory/measure"
)

// againOptions say how what happened is judged anew.
type againOptions struct {
	Rules, Known string
}

func (o *againOptions) flags() []cli.Flag {
	return []cli.Flag{
		&cli.StringFlag{Name: "rules", Usage: "as this approved `RULESET` judges it", Destination: &o.Rules},
		&cli.StringFlag{Name: "known", Usage: "with what was known at a `TIME`, late entries and late readings left out", Destination: &o.Known},
	}
}

// read returns what the options ask. The error is a *inventory.Refusal for a
// time that cannot be read, and a usage error for one to come.
func (o *againOptions) read(ctx context.Context, s screen) (g app.Again, err error) {
	g.Rules = o.Rules
	if g.Known, err = instant(ctx, s.app, o.Known); err != nil {
		return g, err
	}
	if now := measure.At(s.app.Now()); g.Known > now {
		return g, usagef("--known asks what was known: it is %s now", when(now, s.zone))
	}
	return g, nil
}

// judgeAgain runs fn with a screen that answers as the options say. What was
// known at a time is asked of that time, unless another is given.
func (s screen) judgeAgain(ctx context.Context, g app.Again, at string, fn func(s screen) error) error {
	if g == (app.Again{}) {
		return fn(s)
	}
	if g.Known != 0 && at == "" {
		s.at = g.Known
	}
	return s.app.JudgeAgain(ctx, g, func(then *app.App) error {
		s.app = then
		return fn(s)
	})
}

// supposed says what an answer supposes.
func (s screen) supposed(g app.Again) (out []string) {
	if g.Rules != "" {
		out = append(out, "rule set "+g.Rules+" judges it; nothing here was decided by this answer")
	}
	if g.Known != 0 {
		out = append(out, "only what was known at "+when(g.Known, s.zone)+": what was entered or read in later is left out")
	}
	return out
}
