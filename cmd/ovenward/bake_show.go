package main

import (
	"cmp"
	"context"
	"fmt"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/bake"
	"ovenward/storage/chart"
	"ovenward/storage/exposure"
	"ovenward/storage/rules"
)

// bakeShowOptions are the options of "ovenward bake show".
type bakeShowOptions struct {
	drawOptions
	At, Rules string
	Run       int
}

func newBakeShowCommand(e *env) *cli.Command {
	var o bakeShowOptions
	return &cli.Command{
		Name: "show", Usage: "was that a bake: its stages, the recipe, and what was missing", ArgsUsage: "BUNDLE",
		Description: `   ovenward bake show B0001-G --trace
   ovenward bake show B0001-G --run 1 --svg bake.svg

The last run in a bake oven of the bundle, or of the rods that it came from, judged
by the readings. Each part of the recipe says whose row asks it.`,
		Flags: append(o.flags(),
			&cli.IntFlag{Name: "run", Usage: "the `NUMBER` of the run, 1 the first; the last where left out", Destination: &o.Run},
			&cli.StringFlag{Name: "at", Usage: "judged at a `TIME`", Destination: &o.At},
			&cli.StringFlag{Name: "rules", Usage: "judged by another approved `RULESET`", Destination: &o.Rules}),
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 {
				return usagef("bake show takes one bundle")
			}
			return runBakeShow(c.Context, e, c.Args().First(), o)
		},
	}
}

// bakeAnswer is a run in a bake oven, for a program.
type bakeAnswer struct {
	Bundle  string             `json:"bundle"`
	Lot     string             `json:"lot"`
	Class   string             `json:"class"`
	Run     int                `json:"run"`
	Runs    int                `json:"runs"`
	Oven    string             `json:"oven"`
	From    measure.Instant    `json:"from_us"`
	To      measure.Instant    `json:"to_us,omitempty"`
	Result  string             `json:"result"`
	Why     string             `json:"why,omitempty"`
	Set     string             `json:"set"`
	Soak    string             `json:"soak"`
	Heated  string             `json:"heated"`
	Counted string             `json:"counted_from"`
	Sensors []string           `json:"sensors"`
	Bakes   int64              `json:"bakes"`
	Stages  []bakeStageAnswer  `json:"stages"`
	Recipe  []recipePartAnswer `json:"recipe"`
}

type bakeStageAnswer struct {
	Stage   bake.StageKind  `json:"stage"`
	From    measure.Instant `json:"from_us"`
	To      measure.Instant `json:"to_us"`
	Asked   string          `json:"asked,omitempty"`
	Proven  string          `json:"proven,omitempty"`
	Lowest  string          `json:"lowest,omitempty"`
	Highest string          `json:"highest,omitempty"`
	Failed  string          `json:"failed,omitempty"`
}

type recipePartAnswer struct {
	What      string          `json:"what"`
	Says      string          `json:"says"`
	Row       string          `json:"row"`
	Authority rules.Authority `json:"authority"`
	Status    rules.Status    `json:"status"`
	Source    string          `json:"source"`
}

func runBakeShow(ctx context.Context, e *env, code string, o bakeShowOptions) error {
	if err := o.check(); err != nil {
		return err
	}
	p, err := e.screen(ctx, o.At)
	if err != nil {
		return err
	}
	l, err := p.app.At(ctx, code, p.at, o.Rules)
	if err != nil {
		return err
	}
	runs := l.Judgement.Runs
	n := cmp.Or(o.Run, len(runs))
	if n < 1 || n > len(runs) {
		return noRun(l, o.Run)
	}
	b := runs[n-1]
	parts, err := l.Judgement.Ruling.Recipe.Parts(b.Run.Order)
	if err != nil {
		parts = nil // the verdict says what is wrong with the recipe
	}
	d := o.drawing(func() chart.Chart { return bakeChart(l, b, p) })
	if done, err := d.onto(e); done || err != nil {
		return err
	}
	ans := newBakeAnswer(l, b, n, parts, p.units)
	if p.Format != show.AsTable {
		return p.Answer(ans, ans.stages(p.zone))
	}
	if err := p.Answer(nil, ans.verdict(p.zone), ans.stages(p.zone), ans.recipe()); err != nil || !o.Trace {
		return err
	}
	if err := p.Line(""); err != nil {
		return err
	}
	return d.trace(p.Printer)
}

func noRun(l app.Look, n int) error {
	runs := len(l.Judgement.Runs)
	r := &inventory.Refusal{Code: inventory.Unknown, Subject: l.Bundle.Code, Why: "it was in no bake oven since its package was opened",
		Next: "see where it was: ovenward exposure " + l.Bundle.Code}
	if runs > 0 {
		r.Value, r.Limit = fmt.Sprint(n), fmt.Sprint(runs)
		r.Why = "it was in a bake oven " + counted(runs, "time", "times")
		r.Next = "leave --run out for the last, or count from 1"
	}
	return r
}

func newBakeAnswer(l app.Look, b exposure.Baked, n int, parts []rules.RecipePart, u measure.UnitSystem) bakeAnswer {
	a := bakeAnswer{Bundle: l.Bundle.Code, Lot: l.Lot.Code, Class: l.Lot.Mark.Canonical, Run: n, Runs: len(l.Judgement.Runs),
		Oven: b.Place, From: b.Run.From, To: b.Run.To, Result: b.Result.String(), Why: b.Why, Set: b.Run.Order.Set.InBoth(u),
		Soak: b.Soak.String(), Heated: b.Heated.String(), Counted: string(b.Clock.From), Sensors: some(b.Clock.Sensors),
		Bakes: b.Count, Stages: []bakeStageAnswer{}, Recipe: []recipePartAnswer{}}
	for _, s := range b.Stages {
		one := bakeStageAnswer{Stage: s.Kind, From: s.From, To: s.To, Failed: s.Failed}
		if s.Asked > 0 {
			one.Asked, one.Proven = s.Asked.String(), s.Proven.String()
		}
		if s.Read {
			one.Lowest, one.Highest = s.Low.In(u), s.High.In(u)
		}
		a.Stages = append(a.Stages, one)
	}
	for _, p := range parts {
		a.Recipe = append(a.Recipe, recipePartAnswer{p.What, p.Says, p.Row.Row, p.Row.Authority, p.Row.Status, p.Row.Source})
	}
	return a
}

// verdict is the answer before its reasons.
func (a bakeAnswer) verdict(zone *time.Location) show.Table {
	t := show.Table{Title: fmt.Sprintf("%s  %s, lot %s: run %d of %d, in %s", a.Bundle, a.Class, a.Lot, a.Run, a.Runs, a.Oven)}
	result := a.Result
	if a.Why != "" {
		result += ": " + a.Why
	}
	t.Add("verdict", result)
	end := "still in"
	if a.To != 0 {
		end = "out " + when(a.To, zone)
	}
	t.Add("in the oven", when(a.From, zone)+", "+end)
	t.Add("set point", a.Set)
	if a.Counted != "" {
		t.Add("counted from", "the "+a.Counted+", by "+strings.Join(a.Sensors, ", "))
	}
	t.Add("counted so far", counted(int(a.Bakes), "bake", "bakes"))
	return t
}

func (a bakeAnswer) stages(zone *time.Location) show.Table {
	t := show.Table{Head: []string{"stage", "from", "to", "asked", "proven", "lowest", "highest", "missing"},
		Right: []int{3, 4}, Empty: "There are no stages: no reading or no recipe to judge by."}
	for _, s := range a.Stages {
		t.Add(string(s.Stage), when(s.From, zone), s.To.Minute().Clock(zone, s.From), s.Asked, s.Proven, s.Lowest, s.Highest, s.Failed)
	}
	return t
}

func (a bakeAnswer) recipe() show.Table {
	t := show.Table{Head: []string{"recipe", "says", "asked by", "row", "status", "source"}, Spare: []int{4}}
	for _, p := range a.Recipe {
		t.Add(p.What, p.Says, string(p.Authority), p.Row, string(p.Status), p.Source)
	}
	t.Empty = "There is no recipe for it."
	return t
}
