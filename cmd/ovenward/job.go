package main

import (
	"context"
	"strings"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/show"
	"ovenward/inventory"
)

func newJobCommand(e *env) *cli.Command {
	return group("job", "what a job asks: rule set, certificates, whose filler", forQA, newJobAddCommand(e), newJobListCommand(e))
}

func newJobAddCommand(e *env) *cli.Command {
	var w writeOptions
	var j inventory.JobSet
	var approvals cli.StringSlice
	return &cli.Command{
		Name: "add", Usage: "set a job up, or say anew what it asks", ArgsUsage: "JOB",
		Description: `   ovenward job add A --certificate 3.1 --actual --max-test-age "12 months"
   ovenward job add B --rules structural-2015-a --owner "Fjordline Ferries"`,
		Flags: append(w.flags(),
			&cli.StringFlag{Name: "rules", Usage: "`ID` of the approved rule set it runs under; the site's where left out", Destination: &j.Rules},
			&cli.StringFlag{Name: "certificate", Usage: "the least `KIND` of certificate: 2.1, 2.2, 3.1 or 3.2", Destination: &j.Certificate},
			&cli.BoolFlag{Name: "actual", Usage: "results of the lot itself, not typical ones", Destination: &j.Actual},
			&cli.StringFlag{Name: "max-test-age", Usage: "greatest `AGE` of a test when the lot was received, such as 12 months", Destination: &j.MaxTestAge},
			&cli.StringSliceFlag{Name: "approval", Usage: "other `APPROVAL` that the papers must show; may be given again", Destination: &approvals},
			&cli.StringFlag{Name: "owner", Usage: "the `CUSTOMER` who supplies the filler; the shop where left out", Destination: &j.Owner},
			&cli.StringFlag{Name: "note", Usage: "`WHAT` else is to be known", Destination: &j.Note},
		),
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 {
				return usagef("job add takes one job")
			}
			j.Job, j.Approvals = c.Args().First(), approvals.Value()
			done, err := e.record(c.Context, w, &j)
			if err != nil {
				return err
			}
			return e.tell(e.acted(done, "added", j.Job), "JOB      %s: %s", j.Job, jobAsks(j))
		},
	}
}

// jobAsks says what a job asks in one line.
func jobAsks(j inventory.JobSet) string {
	var parts []string
	if j.Rules != "" {
		parts = append(parts, "rule set "+j.Rules)
	}
	if papers := papersAsked(j); papers != "" {
		parts = append(parts, papers)
	}
	if j.Owner != "" {
		parts = append(parts, "filler of "+j.Owner)
	}
	if len(parts) == 0 {
		return "asks for nothing of its own"
	}
	return strings.Join(parts, "; ")
}

func papersAsked(j inventory.JobSet) string {
	var parts []string
	if j.Certificate != "" {
		parts = append(parts, "certificate "+j.Certificate+" or better")
	}
	if j.Actual {
		parts = append(parts, "results of the lot itself")
	}
	if j.MaxTestAge != "" {
		parts = append(parts, "test not older than "+j.MaxTestAge)
	}
	if len(j.Approvals) > 0 {
		parts = append(parts, "approval "+strings.Join(j.Approvals, ", "))
	}
	return strings.Join(parts, ", ")
}

func newJobListCommand(e *env) *cli.Command {
	return &cli.Command{
		Name: "list", Usage: "the jobs that are set up, as they stand",
		Action: func(c *cli.Context) error {
			if c.NArg() > 0 {
				return usagef("job list takes no arguments, got %q", c.Args().First())
			}
			return runJobList(c.Context, e)
		},
	}
}

func runJobList(ctx context.Context, e *env) error {
	p, err := e.screen(ctx, "")
	if err != nil {
		return err
	}
	list, err := p.app.Jobs(ctx)
	if err != nil {
		return err
	}
	t := show.Table{Title: "JOBS", Empty: "No job is set up: ovenward job add JOB.", Head: []string{"job", "rule set", "papers", "filler of", "since", "by"}}
	answers := make([]inventory.JobSet, len(list))
	for i, s := range list {
		answers[i] = s.Entry
		t.Add(s.Entry.Job, s.Entry.Rules, papersAsked(s.Entry), s.Entry.Owner, when(s.Since, p.zone), s.By)
	}
	return p.Answer(answers, t)
}
