package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
	"ovenward/inventory"
	"ovenward/inventory/jobdb"
)

func newJointCommand(e *env) *cli.Command {
	return group("joint", "what each joint's procedure and card ask of the filler", forQA,
		newJointAddCommand(e), newJointLoadCommand(e), newJointListCommand(e))
}

func newJointAddCommand(e *env) *cli.Command {
	var w writeOptions
	var j inventory.JointSet
	var classes, sizes, welders cli.StringSlice
	return &cli.Command{
		Name: "add", Usage: "set a joint up, or say anew what it asks", ArgsUsage: "JOINT",
		Description: `The window then refuses another class or size, a welder who is not on the card
and a lot that was not tested as the joint is left. What is said anew stands
from then on; what went out before is judged by what stood then.

   ovenward joint add J-114 --job A --procedure WPS-12 --class E8018-B2 \
      --size "3.2 mm" --base-metal A514 --welder W3 --welder W7`,
		Flags: append(w.flags(),
			&cli.StringFlag{Name: "job", Usage: "the `JOB` it is part of", Destination: &j.Job},
			&cli.StringFlag{Name: "procedure", Usage: "`NUMBER` of the welding procedure", Destination: &j.Procedure},
			&cli.StringSliceFlag{Name: "class", Usage: "`CLASS` that the procedure allows; may be given again", Destination: &classes},
			&cli.StringSliceFlag{Name: "size", Usage: "`DIAMETER` that the procedure allows; may be given again", Destination: &sizes},
			&cli.StringFlag{Name: "base-metal", Usage: "`GROUP` of the base metal, such as A514", Destination: &j.BaseMetal},
			&cli.StringFlag{Name: "service", Usage: "`SERVICE`, such as pressure, where an owner's rule asks", Destination: &j.Service},
			&cli.StringFlag{Name: "pass", Usage: "`PASS`: root, multi, where a rule asks", Destination: &j.Pass},
			&cli.StringSliceFlag{Name: "welder", Aliases: []string{"w"}, Usage: "`BADGE` on the joint's card; may be given again", Destination: &welders},
			&cli.BoolFlag{Name: "heat-treated", Usage: "it is heat treated after welding", Destination: &j.HeatTreated},
			&cli.StringFlag{Name: "heat-time", Usage: "`TIME` at temperature in all, such as 8h", Destination: &j.HeatTime},
			&cli.StringFlag{Name: "note", Usage: "`WHAT` else is to be known, such as an engineer's acceptance", Destination: &j.Note},
		),
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 {
				return usagef("joint add takes one joint")
			}
			j.Joint, j.Classes, j.Diameters, j.Welders = c.Args().First(), splitList(classes.Value()), sizes.Value(), splitList(welders.Value())
			done, err := e.record(c.Context, w, &j)
			if err != nil {
				return err
			}
			set := done.Entry.(*inventory.JointSet)
			return e.tell(e.acted(done, "added", set.Joint), "JOINT    %s: %s", set.Joint, jointAsks(*set))
		},
	}
}

// jointAsks says what a joint asks in one line.
func jointAsks(j inventory.JointSet) string {
	var parts []string
	say := func(lead string, values ...string) {
		if text := strings.Join(values, " or "); text != "" {
			parts = append(parts, strings.TrimSpace(lead+" "+text))
		}
	}
	say("job", j.Job)
	say("procedure", j.Procedure)
	say("", j.Classes...)
	say("", j.Diameters...)
	say("on", j.BaseMetal)
	say("", j.Service)
	say("pass", j.Pass)
	if j.HeatTreated {
		parts = append(parts, strings.TrimSpace("heat treated "+j.HeatTime))
	}
	if len(j.Welders) > 0 {
		parts = append(parts, "card "+strings.Join(j.Welders, " "))
	}
	if len(parts) == 0 {
		return "asks for nothing"
	}
	return strings.Join(parts, ", ")
}

func newJointListCommand(e *env) *cli.Command {
	var job string
	return &cli.Command{
		Name: "list", Usage: "the joints that are set up, as they stand",
		Flags: []cli.Flag{&cli.StringFlag{Name: "job", Usage: "those of one `JOB`", Destination: &job}},
		Action: func(c *cli.Context) error {
			if c.NArg() > 0 {
				return usagef("joint list takes no arguments, got %q", c.Args().First())
			}
			return runJointList(c.Context, e, job)
		},
	}
}

func runJointList(ctx context.Context, e *env, job string) error {
	p, err := e.screen(ctx, "")
	if err != nil {
		return err
	}
	list, err := p.app.Joints(ctx, job)
	if err != nil {
		return err
	}
	t := show.Table{Title: "JOINTS", Empty: "No joint is set up: ovenward joint add, or ovenward joint load FILE.",
		Head:  []string{"joint", "job", "procedure", "class", "size", "base metal", "service", "heat treated", "card", "since", "by"},
		Spare: []int{10, 9, 6}}
	names := make([]string, len(list))
	for i, s := range list {
		names[i] = s.Entry.Joint
	}
	doubts, err := p.app.DoubtedJoints(ctx, names)
	if err != nil {
		return err
	}
	answers := make([]listedJoint, len(list))
	for i, s := range list {
		j := s.Entry
		answers[i] = listedJoint{j, doubts[j.Joint]}
		t.Add(j.Joint, j.Job, j.Procedure, strings.Join(j.Classes, " "), strings.Join(j.Diameters, ", "), j.BaseMetal,
			strings.TrimSpace(j.Service+" "+j.Pass), heatOf(j), strings.Join(j.Welders, " "), when(s.Since, p.zone), s.By)
	}
	return p.Answer(answers, withDoubts(t, answers, p)...)
}

// listedJoint is a joint for a program.
type listedJoint struct {
	inventory.JointSet
	Doubts []app.Mark `json:"doubts,omitempty"` // rods that went into it and were judged by a sensor that was found wrong
}

// withDoubts adds to the joints a table of those whose filler is in doubt.
func withDoubts(t show.Table, answers []listedJoint, p screen) []show.Table {
	d := show.Table{Title: "READINGS IN DOUBT", Head: []string{"joint", "reading", "slip", "judged", "act", "was", "is"},
		Note: "next: ovenward oven affected SENSOR; QA decides: ovenward decide sensor SENSOR"}
	for _, a := range answers {
		for _, m := range a.Doubts {
			d.Add(a.Joint, p.words().WasWrong(m.Sensor, m.Found, m.Since, m.Check), m.Slip, when(m.At, p.zone), string(m.Act), string(m.Was), string(m.Is))
		}
	}
	if len(d.Rows) == 0 {
		return []show.Table{t}
	}
	return []show.Table{t, d}
}

func heatOf(j inventory.JointSet) string {
	if !j.HeatTreated {
		return ""
	}
	return strings.TrimSpace("yes " + j.HeatTime)
}

func newJointLoadCommand(e *env) *cli.Command {
	var w writeOptions
	return &cli.Command{
		Name: "load", Usage: "set up the joints of a CSV file; one bad row and none is loaded", ArgsUsage: "FILE",
		Description: `The first row names the columns: joint, job, procedure, classes, diameters,
base_metal, service, pass, welders, heat_treated, heat_time, note. Several values
in a cell stand apart by ";". Rows that say what stands already are left out.
FILE - is standard input.`,
		Flags: w.flags(),
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 {
				return usagef("joint load takes one file")
			}
			return runJointLoad(c.Context, e, w, c.Args().First())
		},
	}
}

func runJointLoad(ctx context.Context, e *env, w writeOptions, name string) error {
	file, done, err := e.input(name)
	if err != nil {
		return err
	}
	defer done()
	rows, err := inventory.ReadJoints(file)
	if err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	a, err := e.open(ctx)
	if err != nil {
		return err
	}
	known, err := a.Joints(ctx, "")
	if err != nil {
		return err
	}
	entries := news(rows, known)
	var all []app.Done
	if len(entries) > 0 {
		if all, err = e.recordAll(ctx, w, entries); err != nil {
			if ref, ok := errors.AsType[*inventory.Refusal](err); ok {
				ref.Why = name + ": " + ref.Why
			}
			return err
		}
	}
	t := show.Table{Title: "LOADED", Head: []string{"joint", "asks"},
		Empty: "Nothing new: every row stands already.", Note: fmt.Sprintf("%d of %s stood already", len(rows)-len(entries), counted(len(rows), "row", "rows"))}
	if e.dry {
		t.Title = "WOULD BE LOADED, if this were no dry run"
	}
	answers := make([]inventory.JointSet, len(all))
	for i, d := range all {
		answers[i] = *d.Entry.(*inventory.JointSet)
		t.Add(answers[i].Joint, jointAsks(answers[i]))
	}
	p, err := e.printer()
	if err != nil {
		return err
	}
	return p.Answer(answers, t)
}

// news returns the rows that say something else than what stands.
func news(rows []inventory.JointSet, known []jobdb.Stood[inventory.JointSet]) []inventory.Entry {
	var out []inventory.Entry
	for i := range rows {
		stands := func(k jobdb.Stood[inventory.JointSet]) bool { return alike(k.Entry, rows[i]) }
		if !slices.ContainsFunc(known, stands) {
			out = append(out, &rows[i])
		}
	}
	return out
}

func alike(a, b inventory.JointSet) bool {
	left, errLeft := json.Marshal(a)
	right, errRight := json.Marshal(b)
	return errLeft == nil && errRight == nil && string(left) == string(right)
}
