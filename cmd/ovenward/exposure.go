package main

import (
	"context"
	"fmt"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"ovenward/alerts/alarm"
	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
	"ovenward/storage/exposure"
)

func newExposureCommand(e *env) *cli.Command {
	var at string
	var g againOptions
	return &cli.Command{
		Name:      "exposure",
		Category:  forQA,
		Usage:     "a bundle's whole history: what counted, and why",
		ArgsUsage: "BUNDLE",
		Description: `Every stretch of time since the package was opened, what it counted for, and the
readings behind it. A slip's code shows the rods that are out on it.

   ovenward exposure B0001-G --rules structural-2015-a   as that rule set judges it
   ovenward exposure B0001-G --known '2026-03-02 07:00'  with what was known then`,
		Flags: append([]cli.Flag{
			&cli.StringFlag{Name: "at", Usage: "judged at a `TIME`", Destination: &at},
		}, g.flags()...),
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 {
				return usagef("exposure takes one bundle or slip")
			}
			return runExposure(c.Context, e, c.Args().First(), at, g)
		},
	}
}

// exposureAnswer is a bundle's history for a program.
type exposureAnswer struct {
	Bundle  string            `json:"bundle"`
	Lot     string            `json:"lot"`
	Class   string            `json:"class"`
	At      measure.Instant   `json:"at_us"`
	Verdict inventory.Verdict `json:"verdict"`
	Why     string            `json:"why"`
	Least   string            `json:"exposure_least"`
	Most    string            `json:"exposure"`
	Limit   string            `json:"limit"`
	Ready   measure.Instant   `json:"ready_us,omitempty"`
	Due     measure.Instant   `json:"due_us,omitempty"`
	Bakes   int64             `json:"bakes"`
	Rule    string            `json:"rule"`
	Edition string            `json:"edition"`
	Source  string            `json:"source"`
	Status  string            `json:"status"`
	Longer  string            `json:"longer,omitempty"` // what decided between column A and column B
	Advice  *adviceAnswer     `json:"advice,omitempty"`
	Pieces  []pieceAnswer     `json:"pieces"`

	Seen     []stockdb.Remark `json:"seen,omitempty"`     // of the rods, back to their package, oldest first
	Doubts   []app.Mark       `json:"doubts,omitempty"`   // readings behind it that a check of a sensor found wrong
	Supposed []string         `json:"supposed,omitempty"` // what makes it a question of what if, not what is
}

type pieceAnswer struct {
	From    measure.Instant `json:"from_us"`
	To      measure.Instant `json:"to_us"`
	Bundle  string          `json:"bundle"`
	Place   string          `json:"place"`
	Kind    exposure.Kind   `json:"kind"`
	Why     string          `json:"why"`
	Coldest string          `json:"coldest,omitempty"`
	Least   string          `json:"exposure_least"`
	Most    string          `json:"exposure"`
}

func runExposure(ctx context.Context, e *env, code, atText string, g againOptions) error {
	p, err := e.screen(ctx, atText)
	if err != nil {
		return err
	}
	again, err := g.read(ctx, p)
	if err != nil {
		return err
	}
	return p.judgeAgain(ctx, again, atText, func(p screen) error {
		l, err := p.app.At(ctx, code, p.at, "")
		if err != nil {
			return err
		}
		ans := explain(l, p.units)
		ans.Supposed = p.supposed(again)
		if ans.Seen, err = p.app.RemarksOn(ctx, code, p.at); err != nil {
			return err
		}
		if ans.Doubts, err = p.app.DoubtsOn(ctx, code, p.at); err != nil {
			return err
		}
		tables := []show.Table{ans.verdict(l, p.words()), ans.history(p.zone, p.at)}
		if len(ans.Seen) > 0 {
			tables = append(tables, seenTable(ans.Seen, p.zone))
		}
		return p.Answer(ans, tables...)
	})
}

func explain(l app.Look, u measure.UnitSystem) exposureAnswer {
	j := l.Judgement
	row := j.Ruling.Exposure
	ans := exposureAnswer{Bundle: l.Bundle.Code, Lot: l.Lot.Code, Class: l.Lot.Mark.Canonical, At: j.At, Verdict: j.Verdict, Why: j.Why,
		Least: j.Least.String(), Most: j.Most.String(), Limit: j.Limit.String(), Ready: j.Ready, Due: j.Due, Bakes: j.Bakes,
		Rule: j.Ruling.Name(), Edition: j.Ruling.Edition, Source: row.Source, Status: string(row.Status), Longer: l.Longer}
	ans.Advice = newAdviceAnswer(l.Advice)
	for _, c := range j.Pieces {
		a := pieceAnswer{From: c.From, To: c.To, Bundle: c.Bundle, Place: c.Place, Kind: c.Kind, Why: c.Why,
			Least: c.Least.String(), Most: c.Most.String()}
		if c.Proven {
			a.Coldest = c.Low.In(u)
		}
		ans.Pieces = append(ans.Pieces, a)
	}
	return ans
}

// verdict is the answer before its reasons.
func (a exposureAnswer) verdict(l app.Look, words alarm.Words) show.Table {
	zone := words.Zone
	t := show.Table{Title: fmt.Sprintf("%s  %s, lot %s, at %s", a.Bundle, strings.TrimSpace(a.Class+" "+l.Lot.Size), a.Lot, a.At.In(zone))}
	for _, s := range a.Supposed {
		t.Add("WHAT IF", s)
	}
	t.Add("verdict", string(a.Verdict)+": "+a.Why)
	for _, m := range a.Doubts {
		t.Add("IN DOUBT", m.Says(words))
	}
	exposed := a.Most
	if a.Least != a.Most {
		exposed = "least " + a.Least + ", most " + a.Most
	}
	if l.Judgement.Ruling.Clocked() {
		t.Add("exposed", fmt.Sprintf("%s of %s h", exposed, a.Limit))
	}
	if a.Ready != 0 {
		t.Add("ready", a.Ready.In(zone)+" if the oven stays in range")
	}
	if a.Due != 0 {
		t.Add("limit reached", a.Due.In(zone))
	}
	t.Add("baked", fmt.Sprintf("%d of %d times", a.Bakes, l.Judgement.BakesMax))
	t.Add("rule", fmt.Sprintf("%s, edition %s", a.Rule, a.Edition))
	t.Add("source", fmt.Sprintf("%s (%s)", a.Source, a.Status))
	if a.Longer != "" {
		t.Add("decided", a.Longer)
	}
	for _, s := range adviceLines(l.Advice) {
		t.Add(s[0], s[1])
	}
	if l.Judgement.Ruling.Exposure.Note != "" {
		t.Add("note", l.Judgement.Ruling.Exposure.Note)
	}
	return t
}

func (a exposureAnswer) history(zone *time.Location, at measure.Instant) show.Table {
	t := show.Table{Head: []string{"from", "to", "bundle", "place", "counted as", "coldest", "exposed after", "why"},
		Empty: "Nothing has happened to it yet."}
	for _, c := range a.Pieces {
		after := c.Most
		if c.Least != c.Most {
			after = c.Least + " to " + c.Most
		}
		t.Add(c.From.In(zone), c.To.Clock(zone, c.From), c.Bundle, c.Place, string(c.Kind), c.Coldest, after, c.Why)
	}
	return t
}
