package main

import (
	"context"
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
	"ovenward/inventory"
	"ovenward/inventory/measure"
)

func newPersonCommand(e *env) *cli.Command {
	return group("person", "who may do what, since when, and trained on which rules", setUp,
		newPersonAddCommand(e), newPersonTrainCommand(e), newPersonEndCommand(e), newPersonListCommand(e))
}

func newPersonAddCommand(e *env) *cli.Command {
	var w writeOptions
	var p inventory.PersonSet
	var roles, trained cli.StringSlice
	return &cli.Command{
		Name: "add", Usage: "set a person up, or change what they may do from a day on", ArgsUsage: "BADGE",
		Description: `As long as nobody is set up, everybody may do everything: a small shop needs no
roles. Once somebody is, an attendant works the window, a foreman asks for work
and overrides a second filler, QA releases, decides and approves, purchasing
loads plans, and a welder takes rods. One person may hold several roles.

   ovenward person add Q7 --name "Ruth Holm" --role qa
   ovenward person add A2 --name Ines --role attendant --trained structural-2015-a`,
		Flags: append(w.flags(),
			&cli.StringFlag{Name: "name", Usage: "`NAME` of the person", Destination: &p.Name},
			&cli.StringSliceFlag{Name: "role", Usage: "`ROLE`: attendant, foreman, qa, purchasing or welder; may be given again", Destination: &roles},
			&cli.StringFlag{Name: "since", Usage: "first `DAY`; today where left out", Destination: &p.Since},
			&cli.StringFlag{Name: "until", Usage: "last `DAY`; no end where left out", Destination: &p.Until},
			&cli.StringSliceFlag{Name: "trained", Usage: "trained on this `RULESET`; may be given again", Destination: &trained}),
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 || len(roles.Value()) == 0 {
				return usagef("person add takes a badge and at least one --role")
			}
			p.Person = c.Args().First()
			for _, r := range splitList(roles.Value()) {
				p.Roles = append(p.Roles, inventory.Role(r))
			}
			for _, id := range splitList(trained.Value()) {
				p.Trained = append(p.Trained, inventory.Training{Rules: id})
			}
			return e.setPerson(c.Context, w, &p, "set up", "SET UP")
		},
	}
}

func newPersonTrainCommand(e *env) *cli.Command {
	var w writeOptions
	var t inventory.Training
	return &cli.Command{
		Name: "train", Usage: "record that a person was trained on a rule set", ArgsUsage: "BADGE",
		Flags: append(w.flags(),
			&cli.StringFlag{Name: "rules", Usage: "`RULESET` they were trained on", Destination: &t.Rules},
			&cli.StringFlag{Name: "on", Usage: "`DAY` of the training; today where left out", Destination: &t.On}),
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 || t.Rules == "" {
				return usagef("person train takes a badge and --rules")
			}
			p := &inventory.PersonSet{Person: c.Args().First(), Trained: []inventory.Training{t}}
			return e.setPerson(c.Context, w, p, "trained", "TRAINED")
		},
	}
}

func newPersonEndCommand(e *env) *cli.Command {
	var w writeOptions
	var p inventory.PersonSet
	return &cli.Command{
		Name: "end", Usage: "say until when a person may do what they may", ArgsUsage: "BADGE",
		Flags: append(w.flags(), &cli.StringFlag{Name: "until", Usage: "last `DAY`", Destination: &p.Until}),
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 || p.Until == "" {
				return usagef("person end takes a badge and --until with the last day")
			}
			p.Person = c.Args().First()
			return e.setPerson(c.Context, w, &p, "ended", "ENDED")
		},
	}
}

func (e *env) setPerson(ctx context.Context, w writeOptions, p *inventory.PersonSet, verb, word string) error {
	done, err := e.record(ctx, w, p)
	if err != nil {
		return err
	}
	set := done.Entry.(*inventory.PersonSet)
	text := fmt.Sprintf("%-8s %s: %s since %s", word, inventory.Person{Badge: set.Person, Name: set.Name}.Label(), roleNames(set.Roles), set.Since)
	if set.Until != "" {
		text += " until " + set.Until
	}
	for _, t := range set.Trained {
		text += fmt.Sprintf("\ntrained  on %s, %s", t.Rules, t.On)
	}
	return e.tell(e.acted(done, verb, set.Person), "%s", text)
}

func roleNames(list []inventory.Role) string {
	names := make([]string, len(list))
	for i, r := range list {
		names[i] = string(r)
	}
	return strings.Join(names, ", ")
}

func newPersonListCommand(e *env) *cli.Command {
	var at string
	return &cli.Command{
		Name: "list", Usage: "everybody who is or was set up, with roles and training",
		Flags: []cli.Flag{&cli.StringFlag{Name: "at", Usage: "as it stood at a `TIME`", Destination: &at}},
		Action: func(c *cli.Context) error {
			return runPersonList(c.Context, e, at)
		},
	}
}

// personAnswer is a person for a program.
type personAnswer struct {
	Person  string               `json:"person"`
	Name    string               `json:"name"`
	Roles   []inventory.Role     `json:"roles"`
	Since   measure.Date         `json:"since"`
	Until   measure.Date         `json:"until,omitempty"`
	Trained []inventory.Training `json:"trained"`
}

func runPersonList(ctx context.Context, e *env, at string) error {
	p, err := e.screen(ctx, at)
	if err != nil {
		return err
	}
	people, err := p.app.People(ctx, p.at)
	if err != nil {
		return err
	}
	t := show.Table{Head: []string{"badge", "name", "may", "since", "until", "trained on"},
		Empty: "Nobody is set up: everybody may do everything. See ovenward person add --help"}
	list := []personAnswer{}
	for _, m := range people {
		a := answerPerson(m)
		list = append(list, a)
		t.Add(a.Person, a.Name, roleNames(a.Roles), string(a.Since), string(a.Until), trainings(a.Trained))
	}
	return p.Answer(list, t)
}

func answerPerson(m app.Member) personAnswer {
	a := personAnswer{Person: m.Badge, Name: m.Name, Roles: some(m.Roles), Since: m.Since, Until: m.Until, Trained: []inventory.Training{}}
	for _, t := range m.Trained {
		a.Trained = append(a.Trained, inventory.Training{Rules: t.Rules, On: string(t.On)})
	}
	return a
}

func trainings(list []inventory.Training) string {
	parts := make([]string, len(list))
	for i, t := range list {
		parts[i] = fmt.Sprintf("%s (%s)", t.Rules, t.On)
	}
	return strings.Join(parts, ", ")
}
