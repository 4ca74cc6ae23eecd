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
)

func newDecideListCommand(e *env) *cli.Command {
	var at string
	return &cli.Command{
		Name: "list", Usage: "what waits for QA, with the facts laid out",
		Flags:  []cli.Flag{&cli.StringFlag{Name: "at", Usage: "as it stood at a `TIME`", Destination: &at}},
		Action: func(c *cli.Context) error { return runDecideList(c.Context, e, at) },
	}
}

// caseAnswer is a bundle that waits for QA, for a program.
type caseAnswer struct {
	Bundle    string             `json:"bundle"`
	Lot       string             `json:"lot"`
	Class     string             `json:"class"`
	Pieces    int64              `json:"pieces,omitempty"`
	Place     string             `json:"place"`
	Verdict   inventory.Verdict  `json:"verdict"`
	Why       string             `json:"why"`
	Least     string             `json:"exposure_least"`
	Most      string             `json:"exposure"`
	Limit     string             `json:"limit"`
	Rule      string             `json:"rule"`
	Source    string             `json:"source"`
	Coldest   string             `json:"coldest,omitempty"`
	Would     []app.Would        `json:"would"`
	Marks     []app.Mark         `json:"calibration,omitempty"`
	Proposals []stockdb.Proposal `json:"proposals"`
}

func runDecideList(ctx context.Context, e *env, at string) error {
	p, err := e.screen(ctx, at)
	if err != nil {
		return err
	}
	cases, lots, err := p.app.QACases(ctx, p.at)
	if err != nil {
		return err
	}
	answers := make([]caseAnswer, len(cases))
	for i, c := range cases {
		answers[i] = layOut(c, p.units)
	}
	if p.Format == show.AsCSV {
		return p.Answer(answers, caseRows(answers))
	}
	var tables []show.Table
	for i, c := range cases {
		tables = append(tables, answers[i].table(c, p.zone, p.units))
	}
	for _, l := range lots {
		t := show.Table{Title: "lot " + l.Lot}
		t.Add("proposed", proposalLine(l))
		tables = append(tables, t)
	}
	if len(tables) == 0 {
		tables = append(tables, show.Table{Empty: "Nothing waits for QA."})
	}
	return p.Answer(map[string]any{"bundles": answers, "lots": some(lots)}, tables...)
}

func layOut(c app.QACase, u measure.UnitSystem) caseAnswer {
	j := c.Judgement
	a := caseAnswer{Bundle: c.Bundle.Code, Lot: c.Lot.Code, Class: c.Lot.Mark.Canonical, Pieces: c.Bundle.Pieces, Place: c.Bundle.Place.Name,
		Verdict: j.Verdict, Why: c.Why, Least: j.Least.String(), Most: j.Most.String(), Limit: j.Limit.String(),
		Rule: j.Ruling.Name(), Source: j.Ruling.Exposure.Source, Would: some(c.Would), Proposals: some(c.Proposals), Marks: c.Marks}
	if c.Read {
		a.Coldest = c.Coldest.In(u)
	}
	return a
}

// table is one case as a person reads it: why it waits, what is known, what
// each disposition would make of it, and what was proposed.
func (a caseAnswer) table(c app.QACase, zone *time.Location, u measure.UnitSystem) show.Table {
	amount := inventory.Rods(c.Bundle.Pieces)
	if c.Bundle.Mass != 0 {
		amount = c.Bundle.Mass.String()
	}
	t := show.Table{Title: fmt.Sprintf("%s  %s, %s, lot %s, in %s", a.Bundle, strings.TrimSpace(a.Class+" "+c.Lot.Size), amount, a.Lot, a.Place)}
	t.Add("with QA", c.Why)
	if c.Judgement.Ruling.Clocked() {
		t.Add("exposed", fmt.Sprintf("least %s, most %s of %s h", a.Least, a.Most, a.Limit))
		t.Add("rule", a.Rule+": "+a.Source)
	}
	if c.Read {
		t.Add("coldest", fmt.Sprintf("%s in %s after %s", a.Coldest, c.Place, c.At.In(zone)))
	}
	for _, m := range c.Marks {
		t.Add("in doubt", m.Says(alarm.Words{Zone: zone, Units: u}))
	}
	for _, w := range c.Would {
		t.Add("if "+w.Disposition, fmt.Sprintf("%s: %s", w.Verdict, w.Why))
	}
	for _, p := range c.Proposals {
		t.Add("proposed", proposalLine(p))
	}
	return t
}

func proposalLine(p stockdb.Proposal) string {
	line := fmt.Sprintf("%s by %s: %s", p.Code, p.Proposer, p.Disposition)
	if p.Until != "" {
		line += " until " + p.Until
	}
	line += ", " + p.Why
	if p.Evidence != "" {
		line += " (" + p.Evidence + ")"
	}
	return line
}

func caseRows(list []caseAnswer) show.Table {
	t := show.Table{Head: []string{"bundle", "class", "lot", "place", "verdict", "why", "exposed least", "exposed most", "limit", "rule", "coldest", "proposals"}}
	for _, a := range list {
		lines := make([]string, len(a.Proposals))
		for i, p := range a.Proposals {
			lines[i] = proposalLine(p)
		}
		t.Add(a.Bundle, a.Class, a.Lot, a.Place, string(a.Verdict), a.Why, a.Least, a.Most, a.Limit, a.Rule, a.Coldest, strings.Join(lines, "; "))
	}
	return t
}
