package main

import (
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/show"
	"ovenward/forecast/joint"
)

func newPlanPreparationsCommand(e *env) *cli.Command {
	return &cli.Command{
		Name: "preparations", Usage: "list the named preparations that a joint's prep may name",
		Description: `A joint that names one takes its shape, angle, root face and tolerances; sizes that
the plan gives itself count, and the difference is said. Compare each row that you
use with your own copy of the code: rows marked memory were not confirmed.`,
		Action: func(c *cli.Context) error { return runPlanPreparations(e) },
	}
}

// preparationAnswer is a named preparation for a program.
type preparationAnswer struct {
	Name    string            `json:"name"`
	Process string            `json:"process"`
	Shape   joint.Preparation `json:"shape"`
	Options []string          `json:"options"`
	Root    string            `json:"root_face,omitempty"`
	Radius  string            `json:"radius,omitempty"`
	Backing bool              `json:"backing"`
	Gouge   bool              `json:"gouge"`
	FitUp   string            `json:"fit_up,omitempty"`
	Note    string            `json:"note,omitempty"`
	Source  string            `json:"source"`
	Status  joint.Status      `json:"status"`
}

func runPlanPreparations(e *env) error {
	p, err := e.printer()
	if err != nil {
		return err
	}
	tables, err := e.tables()
	if err != nil {
		return err
	}
	t := show.Table{Title: "NAMED PREPARATIONS, version " + tables.Named.Version,
		Head: []string{"name", "process", "shape", "opening and angle", "root face", "radius", "root", "fit-up", "status", "source"}}
	var all []preparationAnswer
	for _, name := range tables.Named.Names() {
		n, _ := tables.Named.Find(name)
		a := newPreparation(n)
		all = append(all, a)
		t.Add(a.Name, a.Process, string(a.Shape), strings.Join(a.Options, "; "), a.Root, a.Radius, rootOf(n), a.FitUp, string(a.Status), a.Source)
	}
	return p.Answer(all, t)
}

func newPreparation(n *joint.Named) preparationAnswer {
	a := preparationAnswer{Name: n.Name, Process: n.Process, Shape: n.Shape, Backing: n.Backing, Gouge: n.Gouge,
		Note: n.Note, Source: n.Source, Status: n.Status, FitUp: n.FitUp.String()}
	for _, o := range n.Options {
		a.Options = append(a.Options, fmt.Sprintf("%s, %s (%s)", o.Opening, o.Angle, o.Positions))
	}
	if n.Root != (joint.Range{}) {
		a.Root = n.Root.String()
	}
	if n.Radius.Given() {
		a.Radius = n.Radius.String()
	}
	return a
}

func rootOf(n *joint.Named) string {
	switch {
	case n.Backing:
		return "backing"
	case n.Gouge:
		return "gouged"
	}
	return ""
}
