package main

import (
	"context"
	"fmt"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/report"
	"ovenward/cmd/internal/show"
	"ovenward/inventory/measure"
)

// reportOptions are the options of "ovenward report".
type reportOptions struct {
	timeOptions
	againOptions
	At, Part string
}

func newReportCommand(e *env) *cli.Command {
	return &cli.Command{
		Name:        "report",
		Category:    forQA,
		Usage:       "what an auditor asks for, each answer in one place",
		Description: reportHelp(),
		Subcommands: append(reportCommands(e), &cli.Command{
			Name: "list", Usage: "every report, with the questions that it answers",
			Action: func(c *cli.Context) error { return runReportList(e) },
		}),
		Action: func(c *cli.Context) error {
			if c.NArg() > 0 {
				_, err := report.Find(c.Args().First())
				return err
			}
			return cli.ShowSubcommandHelp(c)
		},
	}
}

func reportHelp() string {
	return `   ovenward report recall 7B21
   ovenward report shift --from "2025-06-10 18:00" --to "2025-06-11 06:00"
   ovenward --json report rules
   ovenward --format csv report stubs --from 2025-06-01 --to 2025-06-30
   ovenward report open-issues --rules reference-summed
   ovenward report bakes --known "2025-06-11 06:00"

A report of a time that is past tells what there was and how it stood at its end:
what happened later changes nothing in it. What is asked of one joint, lot or slip
is told as far as it is known now; --known tells it as it was known earlier.

A table says above it what was asked, for whom, and by which rules. JSON has all of
it with typed values. CSV has one part, the first or the one named with --part, its
times with their offset, and no formulas: text that a spreadsheet would take for one
has an apostrophe put in front, and so has text that begins with an apostrophe. Take
one off to have the text again.`
}

// reportCommands are the reports, one command each.
func reportCommands(e *env) (all []*cli.Command) {
	for _, r := range report.All() {
		all = append(all, newOneReportCommand(e, r))
	}
	return all
}

func newOneReportCommand(e *env, r report.Report) *cli.Command {
	var o reportOptions
	c := &cli.Command{
		Name: r.Name, Usage: r.Title, ArgsUsage: r.Of,
		Description: "It answers:\n\n - " + strings.Join(r.Questions, "\n - "),
		Action: func(c *cli.Context) error {
			if c.NArg() > 1 || (c.NArg() == 1 && r.Of == "") {
				return usagef("report %s takes %s, got %q", r.Name, takes(r), strings.Join(c.Args().Slice(), " "))
			}
			return runReport(c.Context, e, r, c.Args().First(), o)
		},
	}
	if r.Over == report.APeriod {
		c.Flags = append(c.Flags,
			&cli.StringFlag{Name: "from", Usage: "`TIME` or day it begins with; 30 days before its end where left out", Destination: &o.From},
			&cli.StringFlag{Name: "to", Usage: "`TIME` it ends before, or day it ends with; now where left out", Destination: &o.To})
	}
	c.Flags = append(c.Flags,
		&cli.StringFlag{Name: "at", Usage: "as it stood at a `TIME`; now where left out", Destination: &o.At},
		&cli.StringFlag{Name: "part", Usage: "only the part of this `NAME`", Destination: &o.Part})
	c.Flags = append(c.Flags, o.againOptions.flags()...)
	return c
}

func takes(r report.Report) string {
	if r.Of == "" {
		return "no arguments"
	}
	return "one " + strings.ToLower(r.Of)
}

func runReport(ctx context.Context, e *env, r report.Report, subject string, o reportOptions) error {
	p, err := e.screen(ctx, "")
	if err != nil {
		return err
	}
	q := report.Query{Subject: subject, Asked: strings.TrimSpace(e.by)}
	if q.From, q.To, err = o.instants(ctx, p.app); err != nil {
		return err
	}
	if q.At, err = instant(ctx, p.app, o.At); err != nil {
		return err
	}
	if q.Again, err = o.againOptions.read(ctx, p); err != nil {
		return err
	}
	if err := speaksOfWhatWas(q, measure.At(e.now()), p.zone); err != nil {
		return err
	}
	made, err := r.Make(ctx, p.app, q)
	if err != nil {
		return err
	}
	site, err := p.app.Habits(ctx)
	if err != nil {
		return err
	}
	return made.Print(p.Printer, o.Part, site.Units)
}

// speaksOfWhatWas refuses to report of what is to come, or was to come for all
// that was known.
func speaksOfWhatWas(q report.Query, now measure.Instant, zone *time.Location) error {
	switch {
	case q.At > now || q.From > now:
		return usagef("a report speaks of what was: it is %s now", when(now, zone))
	case q.Known != 0 && (q.At > q.Known || q.From > q.Known):
		return usagef("--known %s knows nothing of what came later", when(q.Known, zone))
	}
	return nil
}

// reportAnswer is a report that can be asked for, for a program.
type reportAnswer struct {
	Name      string   `json:"name"`
	Title     string   `json:"title"`
	Of        string   `json:"of,omitempty"`
	Questions []string `json:"questions"`
}

func runReportList(e *env) error {
	p, err := e.printer()
	if err != nil {
		return err
	}
	answers := []reportAnswer{}
	t := show.Table{Head: []string{"report", "answers"}}
	for _, r := range report.All() {
		answers = append(answers, reportAnswer{r.Name, r.Title, r.Of, r.Questions})
		for i, q := range r.Questions {
			name := ""
			if i == 0 || p.Format == show.AsCSV {
				name = r.Name
			}
			if name != "" && r.Of != "" && p.Format == show.AsTable {
				name = fmt.Sprintf("%s %s", name, r.Of)
			}
			t.Add(name, q)
		}
	}
	return p.Answer(answers, t)
}
