package main

import (
	"context"
	"fmt"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
	"ovenward/inventory/measure"
)

func newOutCommand(e *env) *cli.Command {
	var at string
	return &cli.Command{
		Name:     "out",
		Category: atTheWindow,
		Usage:    "what is out, with whom, and when it must be back",
		Flags:    []cli.Flag{&cli.StringFlag{Name: "at", Usage: "as it was at a `TIME`", Destination: &at}},
		Action: func(c *cli.Context) error {
			if c.NArg() > 0 {
				return usagef("out takes no arguments, got %q", c.Args().First())
			}
			return runOut(c.Context, e, at)
		},
	}
}

// outAnswer is one slip that is out, for a program.
type outAnswer struct {
	State   string          `json:"state"`
	Slip    string          `json:"slip"`
	Welder  string          `json:"welder"`
	Class   string          `json:"class"`
	Size    string          `json:"size"`
	Lot     string          `json:"lot"`
	Pieces  int64           `json:"pieces"`
	Mass    string          `json:"mass,omitempty"`
	Holder  string          `json:"holder"`
	Joints  []string        `json:"joints"`
	Since   measure.Instant `json:"since_us"`
	Exposed string          `json:"exposed"`
	Limit   string          `json:"limit"`
	Due     measure.Instant `json:"due_us,omitempty"`
	Rule    string          `json:"rule"`
}

func runOut(ctx context.Context, e *env, atText string) error {
	p, err := e.screen(ctx, atText)
	if err != nil {
		return err
	}
	list, err := p.app.Out(ctx, p.at)
	if err != nil {
		return err
	}
	answers := make([]outAnswer, len(list))
	for i, s := range list {
		answers[i] = outLine(s, p.at)
	}
	if p.Format == show.AsCSV {
		return p.Answer(answers, outRows(answers, p.zone))
	}
	t := show.Table{Title: fmt.Sprintf("OUT at %s, most urgent first", when(p.at, p.zone)), Empty: "Nothing is out.", Right: []int{5}, Spare: []int{7},
		Head: []string{"state", "back by", "welder", "slip", "class", "rods", "since", "exposed", "limit", "for"}}
	for _, o := range answers {
		t.Add(strings.TrimSuffix(o.State, " left"), backBy(o.Due, p.at, p.zone), o.Welder, o.Slip, o.Class+" "+o.Size, o.amount(), until(o.Since, p.zone, p.at),
			o.Exposed, o.Limit, strings.Join(o.Joints, " "))
	}
	return p.Answer(answers, t)
}

// outRows is every slip for a spreadsheet, with whole dates.
func outRows(list []outAnswer, zone *time.Location) show.Table {
	t := show.Table{Head: []string{"state", "slip", "welder", "class", "size", "amount", "lot", "holder", "joints", "out", "back by",
		"exposed", "limit", "rule"}}
	for _, o := range list {
		t.Add(o.State, o.Slip, o.Welder, o.Class, o.Size, o.amount(), o.Lot, o.Holder, strings.Join(o.Joints, " "), when(o.Since, zone),
			when(o.Due, zone), o.Exposed, o.Limit, o.Rule)
	}
	return t
}

func (o outAnswer) amount() string {
	if o.Mass != "" {
		return o.Mass
	}
	return fmt.Sprint(o.Pieces)
}

func backBy(due, at measure.Instant, zone *time.Location) string {
	if due == 0 {
		return "no limit in sight"
	}
	return until(due, zone, at)
}

func outLine(s app.SlipLook, at measure.Instant) outAnswer {
	j := s.Judgement
	o := outAnswer{State: urgency(s, at), Slip: s.Slip.Code, Welder: s.Slip.Welder, Class: s.Lot.Mark.Canonical, Size: s.Lot.Size,
		Lot: s.Lot.Code, Pieces: s.Slip.Pieces, Holder: s.Slip.Holder.Name, Joints: some(s.Slip.Joints), Since: s.Slip.At, Due: j.Due,
		Exposed: hours(j.Most), Limit: j.Limit.String(), Rule: j.Ruling.Name()}
	if s.Slip.Mass != 0 {
		o.Mass = s.Slip.Mass.String()
	}
	if j.Least != j.Most {
		o.Exposed = hours(j.Least) + " to " + o.Exposed
	}
	if !j.Ruling.Clocked() {
		o.Exposed, o.Limit = "", "none"
	}
	return o
}

// urgency says in words how a slip stands: colour alone would not reach
// everybody at the window.
func urgency(s app.SlipLook, at measure.Instant) string {
	j := s.Judgement
	switch {
	case s.Overdue != 0:
		return "OVERDUE " + left(at.Sub(s.Overdue))
	case j.Due == 0:
		return "ok"
	case j.Warn != 0 && at >= j.Warn:
		return "SOON, " + left(j.Due.Sub(at)) + " left"
	}
	return "ok, " + left(j.Due.Sub(at)) + " left"
}
