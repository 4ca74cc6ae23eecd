package main

import (
	"context"
	"fmt"

	"github.com/urfave/cli/v2"
)

func newPlanListCommand(e *env) *cli.Command {
	var revision int64
	return &cli.Command{
		Name: "list", Usage: "the plan by week and joint, with what each joint takes",
		Flags: []cli.Flag{&cli.Int64Flag{Name: "revision", Destination: &revision,
			Usage: "`NUMBER` of an earlier load; the newest where left out"}},
		Action: func(c *cli.Context) error {
			if c.NArg() > 0 || revision < 0 || c.IsSet("revision") && revision == 0 {
				return usagef("plan list takes no arguments but --revision with a number from 1")
			}
			return runPlanList(c.Context, e, revision)
		},
	}
}

func runPlanList(ctx context.Context, e *env, revision int64) error {
	p, err := e.screen(ctx, "")
	if err != nil {
		return err
	}
	list, err := p.app.Plan(ctx, revision)
	if err != nil {
		return err
	}
	ans := newPlanAnswer(list.Planned)
	for i, j := range list.Planned.Plan.Joints {
		ans.add(j, list.Metal[i])
	}
	ans.sort()
	title := fmt.Sprintf("PLAN revision %d: %s, loaded %s by %s\n%s\n", ans.Revision, ans.File,
		when(ans.Loaded, list.Zone), ans.By, counted(ans.RowsRead, "joint", "joints"))
	return e.answerPlan(p.Printer, &ans, ans.table(title, list.Units), list.Units)
}
