package main

import (
	"context"
	"fmt"

	"github.com/urfave/cli/v2"

	"ovenward/alerts/alarmdb"
	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
)

func newLedgerStatusCommand(e *env) *cli.Command {
	return &cli.Command{
		Name: "status", Usage: "when the ledger was last verified, backed up and restored",
		Description: `The watch does it by night, see [upkeep] in ovenward watch --help. What is done by
hand with ovenward backup counts as well, a verification by hand does not.`,
		Action: func(c *cli.Context) error {
			if c.NArg() > 0 {
				return usagef("ledger status takes no arguments, got %q", c.Args().First())
			}
			return runLedgerStatus(c.Context, e)
		},
	}
}

func runLedgerStatus(ctx context.Context, e *env) error {
	p, err := e.screen(ctx, "")
	if err != nil {
		return err
	}
	head, err := p.app.Head(ctx)
	if err != nil {
		return err
	}
	list, err := p.app.Upkeep(ctx)
	if err != nil {
		return err
	}
	t := show.Table{Title: fmt.Sprintf("site %s: %d facts, last hash %s", p.app.Site, head.Seq, head.Hash),
		Head: []string{"what", "last good", "facts then", "problem since"}, Right: []int{2}}
	answer := map[string]any{"site": p.app.Site, "facts": head.Seq, "hash": head.Hash}
	for _, d := range list {
		answer[string(d.Kind)] = map[string]any{"good_us": d.Good.At, "facts": d.Good.Facts, "last_us": d.Last.At, "problem": d.Last.Problem}
		t.Add(statusCells(p, d)...)
	}
	return p.Answer(answer, t)
}

// upkeepWords are what upkeep is called on the screen.
var upkeepWords = map[alarmdb.Task]string{
	alarmdb.Verify: "ledger verified", alarmdb.Backup: "backed up", alarmdb.Drill: "backup restored and compared",
}

func statusCells(p screen, d app.Upkept) []string {
	cells := []string{upkeepWords[d.Kind], "never", "", ""}
	if d.Good.At != 0 {
		cells[1], cells[2] = when(d.Good.At, p.zone), fmt.Sprint(d.Good.Facts)
	}
	if d.Last.Problem != "" {
		cells[3] = when(d.Last.At, p.zone) + ": " + d.Last.Problem
	}
	return cells
}
