package main

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/exposure"
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
	Bundle  string          `json:"bundle,omitempty"` // on a machine without a slip
	Welder  string          `json:"welder"`
	Class   string          `json:"class"`
	Size    string          `json:"size"`
	Lot     string          `json:"lot"`
	Pieces  int64           `json:"pieces"`
	Mass    string          `json:"mass,omitempty"`
	Holder  string          `json:"holder"`
	Machine bool            `json:"machine,omitempty"` // the holder is a feeder or a hopper
	Covered measure.Instant `json:"covered_us,omitempty"`
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
	machines, err := p.app.OnMachines(ctx, p.at)
	if err != nil {
		return err
	}
	for _, l := range machines {
		answers = append(answers, machineLine(l, p.at))
	}
	if len(machines) > 0 {
		slices.SortStableFunc(answers, func(a, b outAnswer) int { return cmp.Compare(uint64(a.Due-1), uint64(b.Due-1)) }) // none is last
	}
	if p.Format == show.AsCSV {
		return p.Answer(answers, outRows(answers, p.zone))
	}
	return p.Answer(answers, outTable(answers, p.at, p.zone))
}

// outTable is what is out for the window. Where it stands matters only on a
// machine: what is not used up there stays over night.
func outTable(list []outAnswer, at measure.Instant, zone *time.Location) show.Table {
	t := show.Table{Title: fmt.Sprintf("OUT at %s, most urgent first", when(at, zone)), Empty: "Nothing is out.", Right: []int{5}, Spare: []int{7},
		Head: []string{"state", "back by", "welder", "slip", "class", "rods", "since", "exposed", "limit", "for"}}
	onMachine := func(o outAnswer) bool { return o.Machine }
	machines := slices.ContainsFunc(list, onMachine)
	if machines {
		t.Head = append(t.Head, "on")
	}
	if slices.ContainsFunc(list, func(o outAnswer) bool { return o.Mass != "" }) {
		t.Head[5] = "amount"
	}
	for _, o := range list {
		cells := []string{strings.TrimSuffix(o.State, " left"), backBy(o.Due, at, zone), o.Welder, o.Slip + o.Bundle,
			strings.TrimSpace(o.Class + " " + o.Size), o.amount(), until(o.Since, zone, at), o.Exposed, o.Limit, strings.Join(o.Joints, " ")}
		if machines {
			cells = append(cells, o.machine(at, zone))
		}
		t.Add(cells...)
	}
	return t
}

// machine says on which machine something is, and whether it is covered there.
func (o outAnswer) machine(at measure.Instant, zone *time.Location) string {
	switch {
	case !o.Machine:
		return ""
	case o.Covered != 0:
		return o.Holder + ", covered since " + until(o.Covered, zone, at)
	}
	return o.Holder + ", not covered"
}

// outRows is every slip for a spreadsheet, with whole dates.
func outRows(list []outAnswer, zone *time.Location) show.Table {
	t := show.Table{Head: []string{"state", "slip", "welder", "class", "size", "amount", "lot", "holder", "joints", "out", "back by",
		"exposed", "limit", "rule", "bundle", "covered"}}
	for _, o := range list {
		t.Add(o.State, o.Slip, o.Welder, o.Class, o.Size, o.amount(), o.Lot, o.Holder, strings.Join(o.Joints, " "), when(o.Since, zone),
			when(o.Due, zone), o.Exposed, o.Limit, o.Rule, o.Bundle, when(o.Covered, zone))
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
	o.Machine, o.Covered = machine(s.Holder), s.Covered
	if o.Machine {
		o.Holder = s.Holder.Name
	}
	o.exposed(j)
	return o
}

// machineLine is what was put on a machine without a slip.
func machineLine(l app.Look, at measure.Instant) outAnswer {
	j := l.Judgement
	s := app.SlipLook{Judgement: j}
	if j.Due != 0 && j.Due <= at {
		s.Overdue = j.Due
	}
	o := outAnswer{State: urgency(s, at), Bundle: l.Bundle.Code, Class: l.Lot.Mark.Canonical, Size: l.Lot.Size, Lot: l.Lot.Code,
		Pieces: l.Bundle.Pieces, Holder: l.Bundle.Place.Name, Machine: true, Covered: l.Covered, Joints: []string{}, Since: l.Since, Due: j.Due,
		Exposed: hours(j.Most), Limit: j.Limit.String(), Rule: j.Ruling.Name()}
	if l.Bundle.Mass != 0 {
		o.Mass = l.Bundle.Mass.String()
	}
	o.exposed(j)
	return o
}

// exposed says how far the exposure may reach, and that it is not asked for where
// no clock runs.
func (o *outAnswer) exposed(j exposure.Judgement) {
	if j.Least != j.Most {
		o.Exposed = hours(j.Least) + " to " + o.Exposed
	}
	if !j.Ruling.Clocked() {
		o.Exposed, o.Limit = "", "none"
	}
}

// machine reports whether stock in a place is on a machine.
func machine(p inventory.Place) bool { return p.Kind == inventory.Feeder || p.Kind == inventory.Hopper }

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
