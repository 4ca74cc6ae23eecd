package main

import (
	"context"
	"fmt"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
	"ovenward/inventory/measure"
	"ovenward/storage/feed"
	"ovenward/storage/ovendb"
)

func newOvenFlaggedCommand(e *env) *cli.Command {
	var t timeOptions
	return &cli.Command{
		Name: "flagged", Usage: "values that loggers sent and that prove nothing, and why", ArgsUsage: "[PLACE]",
		Description: `   ovenward oven flagged H1 --from 2025-06-01

A value that cannot be read, that no such place shows, that is ahead of its time,
that is of no sensor of the site, or for whose instant another value came first is
kept as it was sent. No judgement rests on it.`,
		Flags: t.flags(),
		Action: func(c *cli.Context) error {
			if c.NArg() > 1 {
				return usagef("oven flagged takes one place, or none for all")
			}
			return runOvenFlagged(c.Context, e, c.Args().First(), t)
		},
	}
}

// flaggedAnswer is a value that proves nothing, for a program.
type flaggedAnswer struct {
	At      measure.Instant `json:"at_us"`
	Place   string          `json:"place,omitempty"`
	Sensor  string          `json:"sensor"`
	Value   string          `json:"value"`
	Quality feed.Quality    `json:"quality"`
	Why     string          `json:"why"`
	Source  string          `json:"source"`
	Noted   measure.Instant `json:"noted_us"`
}

func newFlaggedAnswers(list []ovendb.Flagged) []flaggedAnswer {
	all := []flaggedAnswer{}
	for _, f := range list {
		all = append(all, flaggedAnswer{f.At, f.Place, f.Sensor, f.Value, f.Quality, f.Why, f.Source.String(), f.Noted})
	}
	return all
}

func runOvenFlagged(ctx context.Context, e *env, place string, o timeOptions) error {
	p, from, to, err := e.period(ctx, o)
	if err != nil {
		return err
	}
	if o.To == "" {
		to = to.Add(measure.Day) // what is ahead of its time is wanted most
	}
	list, err := p.app.Flags(ctx, place, from, to)
	if err != nil {
		return err
	}
	answers := newFlaggedAnswers(list)
	t := show.Table{Head: []string{"read at", "place", "sensor", "value", "is", "why", "from"}, Spare: []int{6, 1},
		Empty: "No value was flagged."}
	for _, a := range answers {
		t.Add(a.At.In(p.zone), a.Place, a.Sensor, a.Value, string(a.Quality), a.Why, a.Source)
	}
	return p.Answer(answers, t)
}

// shareAnswer is from where readings came, for a program.
type shareAnswer struct {
	Sensor string          `json:"sensor"`
	Kind   string          `json:"kind"` // empty: stored before sources were kept
	Name   string          `json:"name"`
	Unit   string          `json:"unit"`
	Count  int64           `json:"count"`
	First  measure.Instant `json:"first_us"`
	Last   measure.Instant `json:"last_us"`
}

func newShareAnswers(list []ovendb.Share) []shareAnswer {
	all := []shareAnswer{}
	for _, s := range list {
		all = append(all, shareAnswer{s.Sensor, string(s.Kind), s.Name, s.Unit, s.Count, s.First, s.Last})
	}
	return all
}

// addShares says which readings came by themselves, and what came that is none.
func addShares(t *show.Table, h app.OvenHistory) {
	for _, s := range h.Shares {
		if s.Kind == "" || s.Kind == ovendb.Typed || s.Kind == ovendb.File {
			continue
		}
		unit := ""
		if s.Unit != "" {
			unit = " in " + s.Unit
		}
		t.Add("read by", fmt.Sprintf("%s%s, sensor %s: %d", s.Source, unit, s.Sensor, s.Count))
	}
	if n := len(h.Flagged); n > 0 {
		t.Add("flagged", fmt.Sprintf("%d, which prove nothing: ovenward oven flagged %s", n, h.Place.Name))
	}
}
