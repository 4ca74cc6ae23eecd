package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"unicode"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
	"ovenward/forecast/joint"
	"ovenward/forecast/plan"
)

func newPlanCommand(e *env) *cli.Command {
	return group("plan", "planned joints: a file to fill in, check, load, list", forBuying,
		newPlanTemplateCommand(e), newPlanPreparationsCommand(e), newPlanTablesCommand(e), newPlanCheckCommand(e), newPlanLoadCommand(e),
		newPlanListCommand(e), newPlanDrawCommand(e))
}

func newPlanTemplateCommand(e *env) *cli.Command {
	var xlsx string
	return &cli.Command{
		Name: "template", Usage: "print a CSV file of invented joints to fill in, or write it as a workbook",
		Description: `Every quantity has its unit, in the cell (1/4 in) or for the whole column in the
heading (opening (mm)). Columns that are not needed may be left out.

   ovenward plan template > plan.csv
   ovenward plan template --xlsx plan.xlsx

The columns: ` + strings.Join(plan.Columns(), ", ") + `
with item2, size2, share2, beads2, layers2, flux2 and so on to 9 for joints of several
items. An item is a class and a size; of a joint with several, each says its share
(35 %), its number of beads or of layers from the root, or "rest".

Wire and flux are bought by mass. An item may be a wire's class (E71T-1M, E70C-6M,
ER70S-6, EM12K) or, where the class is not known yet, a process: SAW, GMAW, METAL-CORED,
FCAW-G with gas, FCAW-S without. efficiency1 is the part of the wire that becomes weld
metal, where the tables should not say; flux1 the flux that goes with the wire, such as
F7A2-EM12K, and flux_ratio1 its mass over that of the wire. Shielding gas is not planned.

The position is the joint's: 1G to 6G, 1F to 5F, or PA to PK of ISO 6947. A groove of rods
takes what the position's row of ovenward plan tables says; a class that is not for the
position, by its digit, is warned of.

The preparations: ` + joint.Known() + `; or a
name from ovenward plan preparations, such as TC-U4a. Of a double groove depth2, angle2 and
root_height are those of the far side; the angle of a V or U is that of both walls
together. Around a pipe give od and wall; side says inside where it is welded from
there. A fillet's opening is the gap between its parts. A joint that is "done", yes
or with the day, leaves the plan.

Other words that planners use for the columns are known too: work order, weld no.,
start date, gap, qty, electrode, rod size. A day may be written, or be one that the
spreadsheet shows as a date.`,
		Flags: []cli.Flag{&cli.StringFlag{Name: "xlsx", Destination: &xlsx, Usage: "write a workbook to `FILE`; - is standard output"}},
		Action: func(c *cli.Context) error {
			if c.NArg() > 0 {
				return usagef("plan template takes no arguments, got %q", c.Args().First())
			}
			return runPlanTemplate(e, xlsx)
		},
	}
}

func runPlanTemplate(e *env, xlsx string) error {
	p, err := e.printer()
	if err != nil {
		return err
	}
	if xlsx != "" {
		return e.writeTemplate(xlsx, "plan", plan.Template())
	}
	if p.Format == show.AsJSON {
		return p.JSON(map[string]any{"columns": plan.Columns(), "csv": plan.Template()})
	}
	_, err = io.WriteString(e.out, plan.Template())
	return err
}

// mostPlanBytes bounds a plan: a million joints are about half of it.
const mostPlanBytes = 256 << 20

// planFile is a file of planned joints as it was given.
type planFile struct {
	name string
	text []byte
}

// readPlanFile reads the one file that a command names; "-" is standard input.
func (e *env) readPlanFile(args []string) (planFile, error) {
	if len(args) != 1 {
		return planFile{}, usagef("name one file of planned joints, or - for standard input")
	}
	if args[0] == "-" {
		return readPlanText("standard input", e.in)
	}
	f, err := os.Open(args[0])
	if err != nil {
		return planFile{}, cannotRead(args[0], err)
	}
	defer f.Close()
	return readPlanText(plainName(args[0]), f)
}

// plainName is the name of a file without its folder and without what neither a
// screen nor a database takes for text.
func plainName(path string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return '?'
		}
		return r
	}, strings.ToValidUTF8(filepath.Base(path), "?"))
}

func readPlanText(name string, r io.Reader) (planFile, error) {
	text, err := io.ReadAll(io.LimitReader(r, mostPlanBytes+1))
	if err == nil && len(text) > mostPlanBytes {
		err = fmt.Errorf("more than %d MB; split it", mostPlanBytes>>20)
	}
	if err != nil {
		return planFile{}, cannotRead(name, err)
	}
	return planFile{name: name, text: text}, nil
}

func cannotRead(name string, err error) error {
	if bad, ok := errors.AsType[*os.PathError](err); ok {
		err = bad.Err
	}
	return &app.PlanError{Name: name, Err: err, Next: "name the CSV or XLSX file with the planned joints"}
}

// sayPlanError lists the rows that could not be read before the error says that
// there is no other.
func (e *env) sayPlanError(err error) error {
	if bad, ok := errors.AsType[*app.PlanError](err); ok {
		for _, problem := range bad.Problems {
			e.warn("%s", problem.Error())
		}
	}
	return err
}

func newPlanLoadCommand(e *env) *cli.Command {
	var l app.PlanLoad
	return &cli.Command{
		Name: "load", Usage: "make a CSV or XLSX file the plan; its bad rows are left out and listed", ArgsUsage: "FILE",
		Description: `The file takes the place of the plan that was loaded before, which is kept as an
earlier revision. With --add it is laid over that plan: its joints replace those of
the same job and name, those it says are done leave, the others stay. FILE - is
standard input. Where no row can be read, nothing is loaded.

Of a workbook the first sheet that is not hidden is read: at most 32 MiB, 160 MiB
unpacked, 100000 rows of 256 columns. Formulas are not computed: the value that the
spreadsheet stored counts.`,
		Flags: []cli.Flag{
			&cli.BoolFlag{Name: "add", Destination: &l.Add, Usage: "lay it over the plan instead of taking its place"},
			&cli.BoolFlag{Name: "dry-run", Destination: &l.DryRun, Usage: "say what would happen and write nothing"}},
		Action: func(c *cli.Context) error {
			return runPlanLoad(c.Context, e, c.Args().Slice(), l)
		},
	}
}

func runPlanLoad(ctx context.Context, e *env, args []string, l app.PlanLoad) error {
	p, err := e.printer()
	if err != nil {
		return err
	}
	file, err := e.readPlanFile(args)
	if err != nil {
		return err
	}
	a, err := e.open(ctx)
	if err != nil {
		return err
	}
	l.By, l.Name, l.File = e.by, file.name, file.text
	done, err := a.LoadPlan(ctx, l)
	if err != nil {
		return e.sayPlanError(err)
	}
	e.warnOfPlan(done.Read)
	ans := newPlanAnswer(app.Planned{Revision: done.Revision, Plan: done.Read})
	ans.Repeated, ans.DryRun = done.Repeat, l.DryRun
	ans.setChange(done)
	t := show.Table{Title: "LOADED", Note: "next: ovenward forecast", Right: []int{0, 2, 3},
		Head: []string{"revision", "file", "joints", "rows left out"}}
	switch {
	case done.Repeat:
		t.Title = "KNOWN"
		fmt.Fprintln(e.errs, "the file is the plan already; nothing was written twice")
	case l.DryRun:
		t.Title, t.Note = "WOULD BE LOADED, if this were no dry run", ""
		e.ranDry()
	}
	if words := ans.changeWords(); words != "" {
		t.Note = words + "\n" + t.Note
	}
	t.Add(fmt.Sprint(ans.Revision), ans.File, fmt.Sprint(ans.RowsRead), fmt.Sprint(ans.RowsNotRead))
	return p.Answer(ans, t)
}

// warnOfPlan says what of a plan could not be read.
func (e *env) warnOfPlan(p plan.Plan) {
	for _, problem := range p.Problems {
		e.warn("%s", problem.Error())
	}
	for _, w := range slices.Concat(p.Warnings, plan.Misplaced(p.Joints)) {
		e.warn("%s", w)
	}
}
