package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"strings"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/show"
	"ovenward/inventory"
	"ovenward/storage/rules"
)

func newRulesCommand(e *env) *cli.Command {
	return group("rules", "rule sets: list, check, show, approve, use", forQA,
		&cli.Command{Name: "list", Usage: "shipped and approved rule sets", Action: func(c *cli.Context) error { return runRulesList(c.Context, e) }},
		&cli.Command{Name: "check", Usage: "read a rule file and say what is wrong with it", ArgsUsage: "FILE|ID",
			Action: func(c *cli.Context) error { return runRulesShow(e, c.Args().Slice(), true) }},
		&cli.Command{Name: "show", Usage: "every row of a rule set with its source", ArgsUsage: "FILE|ID",
			Action: func(c *cli.Context) error { return runRulesShow(e, c.Args().Slice(), false) }},
		newRulesApproveCommand(e), newRulesUseCommand(e), newTestReportCommand(e),
	)
}

// readSet reads a shipped rule set or a file.
func readSet(name string) (*rules.Set, error) {
	s, notShipped := rules.Shipped(name)
	if notShipped == nil {
		return s, nil
	}
	text, err := os.ReadFile(name)
	if errors.Is(err, os.ErrNotExist) && !strings.ContainsAny(name, `./\`) {
		return nil, notShipped // what was meant is the id of a set
	}
	if bad, ok := errors.AsType[*os.PathError](err); ok && !isOpening(err) {
		return nil, &rules.FileError{File: name, Why: bad.Err.Error()}
	}
	if err != nil {
		return nil, err
	}
	return rules.Parse(name, text)
}

func runRulesList(ctx context.Context, e *env) error {
	p, err := e.screen(ctx, "")
	if err != nil {
		return err
	}
	approved, inForce, err := p.app.RuleSets(ctx)
	if err != nil {
		return err
	}
	type line struct {
		ID       string `json:"id"`
		Title    string `json:"title"`
		Edition  string `json:"edition"`
		State    string `json:"state"`
		Approved string `json:"approved_by,omitempty"`
	}
	var lines []line
	seen := map[string]bool{}
	for _, s := range approved {
		set, err := s.Set()
		if err != nil {
			return err
		}
		state := "approved"
		if s.ID == inForce {
			state = "in force"
		}
		seen[s.ID] = true
		lines = append(lines, line{s.ID, set.Title, s.Edition, state, fmt.Sprintf("%s, %s", s.By, when(s.At, p.zone))})
	}
	for _, id := range rules.ShippedIDs() {
		if seen[id] {
			continue
		}
		set, err := rules.Shipped(id)
		if err != nil {
			return err
		}
		lines = append(lines, line{ID: id, Title: set.Title, Edition: set.Edition, State: "not approved"})
	}
	t := show.Table{Head: []string{"state", "rule set", "edition", "title", "approved by"},
		Note: "\nA rule set judges nothing real until QA has approved it: ovenward rules approve ID --by NAME"}
	for _, l := range lines {
		t.Add(l.State, l.ID, l.Edition, l.Title, l.Approved)
	}
	return p.Answer(lines, t)
}

func runRulesShow(e *env, args []string, checkOnly bool) error {
	if len(args) != 1 {
		return usagef("name one rule file, or one of: %s", strings.Join(rules.ShippedIDs(), ", "))
	}
	p, err := e.printer()
	if err != nil {
		return err
	}
	s, err := readSet(args[0])
	if err != nil {
		return err
	}
	e.warnOfSet(s)
	if checkOnly {
		return p.Answer(map[string]any{"id": s.ID, "edition": s.Edition, "unconfirmed": len(s.Unconfirmed()), "loosened": some(s.Loosened()), "doubts": some(s.Doubts())},
			show.Table{Empty: fmt.Sprintf("%s, edition %s: sound. %d rows are from memory and want confirming.", s.ID, s.Edition, len(s.Unconfirmed()))})
	}
	t := show.Table{Title: fmt.Sprintf("%s: %s, edition %s, in %s units\n%s\n", s.ID, s.Title, s.Edition, s.UnitSystem, s.Caution),
		Head:  []string{"kind", "row", "says", "status", "source", "note"},
		Empty: "This set has no rows: every class is without a rule until rows are added."}
	lines := s.Describe()
	for _, r := range lines {
		t.Add(r.Kind, r.Row, r.Says, string(r.Status), r.Source, r.Note)
	}
	return p.Answer(lines, t)
}

// warnOfSet says which rows are looser than those that they follow, and who ruled
// it, and what else should be known before a set is approved.
func (e *env) warnOfSet(s *rules.Set) {
	for _, d := range s.Doubts() {
		e.warn("%s", d)
	}
	for _, l := range s.Loosened() {
		e.warn("row %s: %s, in row %s that it follows; ruled: %s", l.Row, l.What, l.Follows, l.Ruling)
	}
}

func newRulesApproveCommand(e *env) *cli.Command {
	var w writeOptions
	var confirm cli.StringSlice
	var use bool
	return &cli.Command{
		Name: "approve", Usage: "approve and freeze a rule set, by name", ArgsUsage: "FILE|ID",
		Description: `Rows marked "memory" were not confirmed in a copy of the code. Compare each with
your own copy and name it with --confirm. An approved set is frozen: a change is
a new set under a new id.`,
		Flags: append(w.flags(),
			&cli.StringSliceFlag{Name: "confirm", Usage: "`ROWS` from memory that agree with your copy of the code", Destination: &confirm},
			&cli.BoolFlag{Name: "use", Usage: "put it in force for the site as well", Destination: &use},
		),
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 {
				return usagef("name one rule file, or one of: %s", strings.Join(rules.ShippedIDs(), ", "))
			}
			return runRulesApprove(c.Context, e, w, c.Args().First(), splitList(confirm.Value()), use)
		},
	}
}

// approvedAnswer is an approved rule set, for a program.
type approvedAnswer struct {
	act
	Edition string `json:"edition"`
	InForce bool   `json:"in_force"`
}

// runRulesApprove approves a set and puts it in force, or does neither.
func runRulesApprove(ctx context.Context, e *env, w writeOptions, name string, confirmed []string, use bool) error {
	p, err := e.printer()
	if err != nil {
		return err
	}
	s, err := readSet(name)
	if err != nil {
		return err
	}
	e.warnOfSet(s)
	entries := []inventory.Entry{&inventory.RulesApproved{ID: s.ID, Text: s.Text, Confirmed: confirmed}}
	if use {
		entries = append(entries, &inventory.RulesUsed{Rules: s.ID})
	}
	all, err := e.recordAll(ctx, w, entries)
	if err != nil {
		return err
	}
	a := approvedAnswer{e.acted(all[0], "approved", s.ID), s.Edition, use}
	if p.Format != show.AsTable {
		return p.Answer(a, a.table())
	}
	next := "next: put it in force with ovenward rules use " + s.ID
	if use {
		next = "IN FORCE " + s.ID + " for the site"
	}
	return e.tell(a.act, "APPROVED %s, edition %s, by %s\n%s", s.ID, s.Edition, e.by, next)
}

func splitList(values []string) []string {
	var out []string
	for _, v := range values {
		for _, s := range strings.Split(v, ",") {
			if s = strings.TrimSpace(s); s != "" {
				out = append(out, s)
			}
		}
	}
	return out
}

func newRulesUseCommand(e *env) *cli.Command {
	var w writeOptions
	var job string
	return &cli.Command{
		Name: "use", Usage: "put an approved rule set in force, for the site or for a job", ArgsUsage: "ID",
		Flags: append(w.flags(), &cli.StringFlag{Name: "job", Usage: "for this `JOB` only", Destination: &job}),
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 {
				return usagef("name one approved rule set")
			}
			return e.useRules(c.Context, w, c.Args().First(), job)
		},
	}
}

func (e *env) useRules(ctx context.Context, w writeOptions, id, job string) error {
	done, err := e.record(ctx, w, &inventory.RulesUsed{Rules: id, Job: job})
	if err != nil {
		return err
	}
	scope := "the site"
	if job != "" {
		scope = "job " + job
	}
	return e.tell(e.acted(done, "put in force", id), "IN FORCE %s for %s", id, scope)
}
