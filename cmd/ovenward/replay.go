package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/timeline"
	"ovenward/migrations/db"
)

func newReplayCommand(e *env) *cli.Command {
	return &cli.Command{
		Name:      "replay",
		Category:  forQA,
		Usage:     "replay facts from a file and check what they come to",
		ArgsUsage: "FILE...",
		Description: `Runs a timeline (JSON lines, see DEVELOPERS.md) through the same code as live
commands, in a scratch database in memory. "-" reads standard input. With --json
every expectation's actual values are printed, one object a line, so a file
without values can be used to ask.`,
		Action: func(c *cli.Context) error {
			if c.NArg() == 0 {
				return usagef("replay takes a file, or - for standard input")
			}
			return runReplay(c.Context, e, c.Args().Slice())
		},
	}
}

// errNotHeld ends a replay with the status of a failure; what failed was said.
var errNotHeld = errors.New("not all expectations held")

func runReplay(ctx context.Context, e *env, files []string) error {
	var held, failed int
	for _, name := range files {
		res, err := replayFile(ctx, e, name)
		if isOpening(err) {
			return err // it names the file
		}
		if err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		held, failed = held+res.Held, failed+res.Failed
		if err := e.printReplay(name, len(files) > 1, res); err != nil {
			return err
		}
	}
	if !e.asJSON() {
		fmt.Fprintf(e.out, "%d held, %d failed\n", held, failed)
	}
	if failed > 0 {
		return errNotHeld
	}
	return nil
}

func replayFile(ctx context.Context, e *env, name string) (timeline.Result, error) {
	f, err := readTimeline(e, name)
	if err != nil {
		return timeline.Result{}, err
	}
	d, err := db.Scratch(ctx)
	if err != nil {
		return timeline.Result{}, err
	}
	res, err := timeline.Replay(ctx, d, f)
	return res, errors.Join(err, d.Close())
}

func readTimeline(e *env, name string) (*timeline.File, error) {
	in, done, err := e.input(name)
	if err != nil {
		return nil, err
	}
	defer done()
	return timeline.Read(in)
}

func (e *env) printReplay(name string, many bool, res timeline.Result) error {
	prefix := ""
	if many {
		prefix = name + ": "
	}
	enc := json.NewEncoder(e.out)
	enc.SetEscapeHTML(false)
	for _, o := range res.Outcomes {
		switch {
		case e.asJSON():
			if err := enc.Encode(o); err != nil {
				return err
			}
		case !o.Held():
			if _, err := fmt.Fprintln(e.out, prefix+o.String()); err != nil {
				return err
			}
		}
	}
	return nil
}
