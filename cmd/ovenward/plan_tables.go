package main

import (
	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/show"
	"ovenward/forecast/joint"
	"ovenward/forecast/metal"
)

func newPlanTablesCommand(e *env) *cli.Command {
	return &cli.Command{
		Name: "tables", Usage: "every figure that a forecast rests on; check a file of the shop's own", ArgsUsage: "[FILE]",
		Description: `Without a FILE: density, rods, efficiency with its basis, covering, beads, deposition
rates, operating factors, position factors, prices and wages in force, each with its
source and status. Rows marked memory were not confirmed: weigh, measure, or compare
with the maker's sheet.

With a FILE: what the file would change, and nothing is written. A wrong row is
refused with its line and field. A shop's own row replaces the shipped one of the same
class and size; it is in force for every command with

   ovenward --tables shop.toml forecast       or       export OVENWARD_TABLES=shop.toml

A row in such a file looks like this; quantities carry their unit:

   [[rod]]
   class = "E7018"
   diameter = "1/8 in"
   length = "350 mm"
   stub = "50 mm"
   source = "rods of our usual maker, measured"
   status = "shop"

The other tables: density (class, value = "7.85 g/cm3"), efficiency (class, diameter,
value = 0.71, basis = "rod-without-stub", "rod-with-stub" with its stub, or "core-wire"),
coating (class, share), piece (class, diameter, mass), bead (diameter, area_mm2 or
run_out), rate (class, diameter, value = "2.74 lb/h", current, process = "SMAW"),
operating_factor (process, value, low, high), position_factor (position, value), labour
(process, hour = 60.0), price (class, diameter, value = 4.1, per = "kg"), flux (class,
ratio = 1.1: kilograms with a kilogram of wire). The efficiency of a wire has basis =
"wire", its class may be a process, and it needs no diameter. A file of named
preparations has [[preparation]] rows only: ovenward plan preparations lists them.

Shielding gas is not computed: it is bought by flow and time, not by metal.`,
		Action: func(c *cli.Context) error {
			switch c.NArg() {
			case 0:
				return runPlanTables(e)
			case 1:
				return runPlanTablesCheck(e, c.Args().First())
			}
			return usagef("plan tables takes one file, got %d", c.NArg())
		},
	}
}

// tableAnswer is one figure for a program.
type tableAnswer struct {
	rowAnswer
	Was string `json:"instead_of,omitempty"` // the row that it replaces
}

func runPlanTables(e *env) error {
	p, err := e.printer()
	if err != nil {
		return err
	}
	t, err := e.tables()
	if err != nil {
		return err
	}
	var all []tableAnswer
	for _, r := range t.Metal.Rows() {
		all = append(all, tableAnswer{rowAnswer: rowAnswer(r)})
	}
	out := show.Table{Title: "FIGURES IN FORCE; preparations: ovenward plan preparations",
		Head: []string{"table", "of", "value", "status", "source"}, Spare: []int{4},
		Note: "gas is not computed. A row of your own: ovenward plan tables --help"}
	for _, r := range all {
		out.Add(r.Table, r.Key, r.Value, string(r.Status), r.Source)
	}
	return p.Answer(all, out)
}

// runPlanTablesCheck reads a file and says what it changes.
func runPlanTablesCheck(e *env, name string) error {
	p, err := e.printer()
	if err != nil {
		return err
	}
	own, err := readTables(name)
	if err != nil {
		return err
	}
	inForce, err := e.tables()
	if err != nil {
		return err
	}
	out := show.Table{Title: "CHECKED " + plainName(name) + ": every row can be used; nothing was written",
		Head: []string{"table", "of", "value", "instead of", "status", "source"}, Spare: []int{5}, Empty: "It has no rows.",
		Note: "in force with: ovenward --tables " + plainName(name) + " COMMAND, or OVENWARD_TABLES"}
	all := []tableAnswer{}
	if own.Metal != nil {
		all = changes(inForce.Metal, own.Metal)
	} else {
		all = append(all, namedChanges(inForce.Named, own.Named)...)
	}
	for _, r := range all {
		out.Add(r.Table, r.Key, r.Value, r.Was, string(r.Status), r.Source)
	}
	return p.Answer(all, out)
}

// changes sets a shop's rows beside those that they replace.
func changes(inForce, own *metal.Catalogue) []tableAnswer {
	all := []tableAnswer{}
	for _, c := range inForce.Changes(own) {
		a := tableAnswer{rowAnswer: rowAnswer(c.Row), Was: "new"}
		if c.Was != (metal.Row{}) {
			a.Was = c.Was.Value
		}
		all = append(all, a)
	}
	return all
}

// namedChanges says of a shop's preparations which shipped ones they replace.
func namedChanges(inForce, own *joint.Catalogue) []tableAnswer {
	var all []tableAnswer
	for _, name := range own.Names() {
		n, _ := own.Find(name)
		a := tableAnswer{rowAnswer: rowAnswer{Table: "preparation", Key: n.Name, Value: string(n.Shape), Source: n.Source, Status: n.Status}, Was: "new"}
		if was, known := inForce.Find(name); known {
			a.Was = string(was.Shape) + " of " + was.Source
		}
		all = append(all, a)
	}
	return all
}
