package main

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
	"ovenward/forecast/joint"
	"ovenward/forecast/picture"
	"ovenward/inventory"
)

// planDrawOptions are the options of "ovenward plan draw".
type planDrawOptions struct{ file, job, svg string }

func newPlanDrawCommand(e *env) *cli.Command {
	var o planDrawOptions
	return &cli.Command{
		Name: "draw", Usage: "a joint's preparation with its layers and beads, for the person at the arc", ArgsUsage: "JOINT",
		Description: `The beads are numbered in the order of welding. Their number is an estimate from the
rod's bead area; the metal does not depend on it.

   ovenward plan draw B12-010
   ovenward plan draw B12-010 --file plan.csv --svg joint.svg`,
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "file", Destination: &o.file, Usage: "a `FILE` of planned joints; the plan that is loaded where left out"},
			&cli.StringFlag{Name: "job", Destination: &o.job, Usage: "`JOB` of the joint, where several have one of its name"},
			&cli.StringFlag{Name: "svg", Destination: &o.svg, Usage: "draw it as a picture into a `FILE` whose name ends in .svg; - is standard output"},
		},
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 {
				return usagef("plan draw takes one joint")
			}
			if err := (chartOptions{svg: o.svg}).check(); err != nil {
				return err
			}
			return runPlanDraw(c.Context, e, o, c.Args().First())
		},
	}
}

func runPlanDraw(ctx context.Context, e *env, o planDrawOptions, name string) error {
	p, err := e.printer()
	if err != nil {
		return err
	}
	joints, err := e.plannedJoints(ctx, o.file)
	if err != nil {
		return err
	}
	j, err := one(joints, o.job, name)
	if err != nil {
		return err
	}
	tables, err := e.tables()
	if err != nil {
		return err
	}
	built, err := tables.Build(j)
	if reason, ok := errors.AsType[*joint.UncomputedError](err); ok {
		return &inventory.Refusal{Code: inventory.Unknown, Subject: name, Value: reason.Value,
			Why: reason.Field + ": " + reason.Why, Next: "write " + reason.Write}
	}
	if err != nil {
		return err
	}
	g := grooveOf(built)
	if o.svg != "" {
		if done, err := e.keepPicture(o.svg, g.SVG()); done || err != nil {
			return err
		}
	}
	if p.Format != show.AsTable {
		return p.Answer(newDrawn(built), drawnTable(g))
	}
	return p.Line("%s", strings.TrimSuffix(g.Text(), "\n"))
}

// plannedJoints are those of a file, or of the plan that is loaded.
func (e *env) plannedJoints(ctx context.Context, file string) ([]joint.Joint, error) {
	if file != "" {
		read, err := e.readPlanFile([]string{file})
		if err != nil {
			return nil, err
		}
		p, err := app.ReadPlan(read.name, read.text)
		return p.Joints, e.sayPlanError(err)
	}
	a, err := e.open(ctx)
	if err != nil {
		return nil, err
	}
	list, err := a.Plan(ctx, 0)
	return list.Planned.Plan.Joints, err
}

// one finds a joint by its name.
func one(joints []joint.Joint, job, name string) (joint.Joint, error) {
	var found []joint.Joint
	var jobs []string
	for _, j := range joints {
		if j.ID == name && (job == "" || j.Job == job) {
			found, jobs = append(found, j), append(jobs, j.Job)
		}
	}
	switch len(found) {
	case 1:
		return found[0], nil
	case 0:
		return joint.Joint{}, &inventory.Refusal{Code: inventory.Unknown, Subject: name, Value: name,
			Why: "no such joint is planned", Next: "see the joints with: ovenward plan list"}
	}
	return joint.Joint{}, &inventory.Refusal{Code: inventory.Unknown, Subject: name, Value: name,
		Why: "several jobs have a joint of this name: " + strings.Join(jobs, ", "), Next: "name one of them with --job"}
}

// grooveOf is a joint as it is drawn.
func grooveOf(b app.Built) picture.Groove {
	j := b.Joint
	g := picture.Groove{Section: b.Filled.Weld.Section, Layers: b.Layers, Backing: j.Sizes.Backing,
		Title: fmt.Sprintf("%s %s: %s", j.Job, j.ID, j.Preparation)}
	for _, r := range b.Filled.Rods {
		g.Rods = append(g.Rods, r.Item.String())
	}
	g.Says = append(g.Says, sizesOf(j))
	if n := g.Beads(); n > 0 {
		g.Says = append(g.Says, fmt.Sprintf("about %s in %s, numbered in the order of welding",
			counted(int(n), "bead", "beads"), counted(len(b.Layers), "layer", "layers")))
	} else {
		g.Says = append(g.Says, "it lies between no two faces, so no layers are drawn: "+strings.Join(g.Rods, ", "))
	}
	return g
}

// sizesOf lists the sizes that are given.
func sizesOf(j joint.Joint) string {
	var parts []string
	for _, f := range joint.Fields() {
		if s := *j.Sizes.At(f); s.Given() {
			parts = append(parts, strings.ReplaceAll(f.String(), "_", " ")+" "+s.String())
		}
	}
	if j.Sizes.Angle != 0 {
		parts = append(parts, "angle "+j.Sizes.Angle.String())
	}
	if j.Sizes.Angle2 != 0 {
		parts = append(parts, "far side "+j.Sizes.Angle2.String())
	}
	return strings.Join(parts, ", ")
}

// drawnLayer is one layer for a program, in the order of welding.
type drawnLayer struct {
	Layer    int     `json:"layer"`
	Side     int     `json:"side"` // 1, or 2 on the far side
	Area     float64 `json:"area_mm2"`
	Beads    int64   `json:"beads"`
	Class    string  `json:"class"`
	Diameter float64 `json:"diameter_mm"`
}

func newDrawn(b app.Built) []drawnLayer {
	all := []drawnLayer{}
	for i, l := range b.Layers {
		item := b.Filled.Rods[l.Pass].Item
		all = append(all, drawnLayer{Layer: i + 1, Side: l.Lift + 1, Area: rounded(float64(l.Area)), Beads: l.Beads,
			Class: item.Class, Diameter: item.Diameter.Millimetres()})
	}
	return all
}

func drawnTable(g picture.Groove) show.Table {
	t := show.Table{Head: []string{"layer", "side", "beads", "item"}}
	for i, l := range g.Layers {
		t.Add(fmt.Sprint(i+1), fmt.Sprint(l.Lift+1), fmt.Sprint(l.Beads), g.Rods[l.Pass])
	}
	return t
}
