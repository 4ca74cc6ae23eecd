package main

import (
	"context"
	"os"
	"strings"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/app"
	"ovenward/storage/feed"
	"ovenward/storage/register"
)

// importOptions are the options of "ovenward import".
type importOptions struct {
	Map, MapFile, Set string
	Layout            string
	DecimalComma      bool
	DryRun            bool
}

func newImportCommand(e *env) *cli.Command {
	subs := []*cli.Command{newTemplateCommand(e)}
	for _, k := range register.Kinds() {
		subs = append(subs, newImportKindCommand(e, k))
	}
	return group("import", "the first stock-take and the registers that were kept on paper, from CSV or XLSX", setUp, subs...)
}

func newTemplateCommand(e *env) *cli.Command {
	var xlsx string
	return &cli.Command{
		Name: "template", Usage: "print an empty register as CSV, with its columns and one invented row", ArgsUsage: "REGISTER",
		Description: `   ovenward import template stock > shelves.csv
   ovenward import template stock --xlsx shelves.xlsx`,
		Flags: []cli.Flag{&cli.StringFlag{Name: "xlsx", Destination: &xlsx, Usage: "write a workbook to `FILE` instead; - is standard output"}},
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 {
				return usagef("name a register: %s", kindNames())
			}
			k, err := register.ParseKind(c.Args().First())
			if err != nil {
				return usagef("%v", err)
			}
			if xlsx != "" {
				return e.writeTemplate(xlsx, string(k), register.Template(k))
			}
			_, err = e.out.Write([]byte(register.Template(k)))
			return err
		},
	}
}

func kindNames() string {
	var names []string
	for _, k := range register.Kinds() {
		names = append(names, string(k))
	}
	return strings.Join(names, ", ")
}

// importUsage says in one line what a register is of.
var importUsage = map[register.Kind]string{
	register.Stock:     "what lies on the shelves at the first stock-take, as held lots",
	register.Receiving: "packages that came in",
	register.Issue:     "rods that went out, and what came back of them",
	register.Return:    "rods that came back",
	register.Bake:      "bundles that were baked",
	register.Oven:      "temperatures of ovens",
	register.Log:       "rows of several kinds, each named in its column \"what\"",
}

func newImportKindCommand(e *env, k register.Kind) *cli.Command {
	var o importOptions
	return &cli.Command{
		Name: string(k), Usage: importUsage[k], ArgsUsage: "FILE",
		Description: `   ovenward import ` + string(k) + ` FILE --map "Date out=date,Qty=pieces" --dry-run

Columns called as in the template, or by a usual other word, are found by
themselves; the others are named with --map, by name or by number from 1. What
the rows tell of is recorded in the order in which it happened. It stands on
paper and has happened, so what a rule would have refused is recorded with a
warning; what cannot have happened is listed with its line, and the rest is
recorded. The same file again records nothing twice, with its bad rows mended
too. FILE - is standard input.

FIELDS
` + fieldHelp(k),
		Flags: o.flags(),
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 {
				return usagef("import %s takes one file, or - for standard input", k)
			}
			return runImport(c.Context, e, k, o, c.Args().First())
		},
	}
}

func fieldHelp(k register.Kind) string {
	var b strings.Builder
	for _, f := range k.Fields() {
		says := f.Says
		if f.Must {
			says += " (needed)"
		}
		b.WriteString("   " + f.Name + strings.Repeat(" ", max(1, 18-len(f.Name))) + says + "\n")
	}
	return strings.TrimRight(b.String(), "\n")
}

func (o *importOptions) flags() []cli.Flag {
	return []cli.Flag{
		&cli.StringFlag{Name: "map", Destination: &o.Map, Usage: "`COLUMNS` and their fields: \"Date out=date,Qty=pieces\"; a field - leaves the column out"},
		&cli.StringFlag{Name: "map-file", Destination: &o.MapFile, Usage: "`FILE` with one COLUMN=FIELD a line"},
		&cli.StringFlag{Name: "set", Destination: &o.Set, Usage: "`FIELDS` with one value for all rows: \"into=H1,package=hermetic can\""},
		&cli.StringFlag{Name: "layout", Destination: &o.Layout,
			Usage: "`LAYOUT` of times that are not like 2025-06-05 06:40: " + feed.Layouts},
		&cli.BoolFlag{Name: "decimal-comma", Destination: &o.DecimalComma, Usage: "1,250 kg is a kilogram and a quarter"},
		&cli.BoolFlag{Name: "dry-run", Destination: &o.DryRun, Usage: "try everything, say what would happen and write nothing"},
	}
}

// mapping reads what the options say of columns.
func (o *importOptions) mapping() (m register.Mapping, err error) {
	m = register.Mapping{Layout: o.Layout, DecimalComma: o.DecimalComma}
	if o.MapFile != "" {
		text, err := os.ReadFile(o.MapFile)
		if err != nil {
			return m, err
		}
		if m.Columns, err = register.ParsePairs(string(text)); err != nil {
			return m, usagef("%s: %v", o.MapFile, err)
		}
	}
	more, err := register.ParsePairs(o.Map)
	if err != nil {
		return m, usagef("--map %v", err)
	}
	m.Columns = append(m.Columns, more...)
	if m.Fixed, err = register.ParsePairs(o.Set); err != nil {
		return m, usagef("--set %v", err)
	}
	return m, nil
}

func runImport(ctx context.Context, e *env, k register.Kind, o importOptions, name string) error {
	m, err := o.mapping()
	if err != nil {
		return err
	}
	f, done, err := e.logFile(ctx, name)
	if err != nil {
		return err
	}
	defer done()
	opts := app.ImportOptions{Name: f.name, By: strings.TrimSpace(e.by), DryRun: o.DryRun}
	if k == register.Oven {
		sum, err := f.app.ImportReadings(ctx, f.in, m, opts)
		e.warnOfLoad(sum, f.zone)
		if err != nil {
			return err
		}
		if o.DryRun {
			e.ranDry()
		}
		ans := newOvenLoadAnswer(f.name, o.DryRun, sum)
		return f.Answer(ans, ans.table(f.zone))
	}
	out, err := f.app.Import(ctx, f.in, k, m, opts)
	if err != nil {
		return err
	}
	e.warnOfImport(out)
	if o.DryRun {
		e.ranDry()
	}
	ans := newImportAnswer(f.name, k, o.DryRun, out)
	return f.Answer(ans, ans.table())
}
