package main

import (
	"fmt"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
	"ovenward/forecast/plandb"
	"ovenward/inventory/measure"
)

func newPlanCheckCommand(e *env) *cli.Command {
	return &cli.Command{
		Name: "check", Usage: "read a file and say what is wrong with it; nothing is written", ArgsUsage: "FILE",
		Description: `Lists every cell that cannot be read, every joint that cannot be computed, and
what the others take by the tables in force. No database is
opened: what rods weighed on receipt counts in plan list and forecast only.

With --json each joint has area_mm2 of its cross section, and volume_mm3,
metal_g and items of all the equal welds of its row.`,
		Action: func(c *cli.Context) error { return runPlanCheck(e, c.Args().Slice()) },
	}
}

func runPlanCheck(e *env, args []string) error {
	p, err := e.printer()
	if err != nil {
		return err
	}
	file, err := e.readPlanFile(args)
	if err != nil {
		return err
	}
	read, err := app.ReadPlan(file.name, file.text)
	if err != nil {
		return e.sayPlanError(err)
	}
	tables, err := e.tables()
	if err != nil {
		return err
	}
	ans := newPlanAnswer(app.Planned{Revision: plandb.Revision{Name: file.name}, Plan: read})
	for _, j := range read.Joints {
		m, err := tables.Compute(j)
		if err != nil {
			return err
		}
		ans.add(j, m)
	}
	title := fmt.Sprintf("CHECKED %s: %s, %d cannot; nothing was written\n", file.name,
		counted(ans.RowsRead, "row can be read", "rows can be read"), ans.RowsNotRead)
	return e.answerPlan(p, &ans, ans.table(title, ""), "")
}

// answerPlan prints a plan with what is in no number. Where the form has no
// place for that, it is said as warnings.
func (e *env) answerPlan(p *show.Printer, ans *planAnswer, t show.Table, units measure.UnitSystem) error {
	if err := p.Answer(ans, t); err != nil {
		return err
	}
	if p.Format == show.AsCSV {
		for _, n := range ans.NotComputed {
			e.warn("%s", n.text)
		}
		for _, b := range ans.Problems {
			e.warn("%s", b.text)
		}
	}
	for _, w := range ans.Warnings {
		e.warn("%s", w)
	}
	e.warned = e.warned || len(ans.NotComputed)+len(ans.Problems) > 0
	if err := ans.sayNamed(p, units); err != nil {
		return err
	}
	return ans.sayMissing(p)
}
