package main

import (
	"context"
	"fmt"
	"strings"

	"github.com/google/uuid"
	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/rounds"
)

func newOvenCheckCommand(e *env) *cli.Command {
	var w writeOptions
	var o inventory.OvenChecked
	var floor string
	return &cli.Command{
		Name: "check", Usage: "record that you looked at an oven or a quiver", ArgsUsage: "PLACE",
		Description: `   ovenward oven check H1 --value "250 F"
   ovenward oven check H1 --floor 3

A value that you read is a reading as well. Rods on the floor of an oven have
fallen from a rack, nobody can say from which: they are discarded, and what lies
above them is counted.`,
		Flags: append(w.flags(),
			&cli.StringFlag{Name: "value", Usage: "the `TEMPERATURE` that its thermometer shows, with its unit", Destination: &o.Value},
			&cli.StringFlag{Name: "floor", Usage: "`NUMBER` of rods found on its floor", Destination: &floor},
			&cli.StringFlag{Name: "note", Usage: "what else was seen, in a `TEXT`", Destination: &o.Note}),
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 {
				return usagef("oven check takes one place: ovenward oven check H1 --value \"250 F\"")
			}
			o.Place = c.Args().First()
			if err := count(floor, "floor", &o.Floor); err != nil {
				return err
			}
			return runOvenCheck(c.Context, e, w, &o)
		},
	}
}

func runOvenCheck(ctx context.Context, e *env, w writeOptions, o *inventory.OvenChecked) error {
	a, err := e.open(ctx)
	if err != nil {
		return err
	}
	r := app.Request{By: strings.TrimSpace(e.by), DryRun: w.DryRun}
	if w.ID != "" {
		id, err := uuid.Parse(w.ID)
		if err != nil {
			return usagef("--id %q: not a UUID", w.ID)
		}
		r.ID = id.String()
	}
	if r.At, err = instant(ctx, a, w.At); err != nil {
		return err
	}
	done, err := a.CheckOven(ctx, r, o)
	if err != nil {
		return err
	}
	if w.DryRun {
		e.ranDry()
	}
	for _, text := range done.Warnings {
		e.warn("%s", text)
	}
	said := "CHECKED  " + o.Place
	if o.Value != "" {
		said += ", reads " + o.Value
	}
	return e.tell(e.acted(done, "checked", o.Place), "%s", said)
}

func newOvenChecksCommand(e *env) *cli.Command {
	var t timeOptions
	return &cli.Command{
		Name: "checks", Usage: "which checks of the ovens were made, late or missed", ArgsUsage: "[PLACE]",
		Description: `How often a person looks at an oven is the shop's own rule, [oven] check_every of
the rule set in force; no code read gives an interval. A check that was not made
is a finding even if all temperatures were fine. All holding ovens where no place
is named.`,
		Flags: t.flags(),
		Action: func(c *cli.Context) error {
			if c.NArg() > 1 {
				return usagef("oven checks takes one place, or none for all holding ovens")
			}
			return runOvenChecks(c.Context, e, c.Args().First(), t)
		},
	}
}

// checksAnswer is how a place was looked at, for a program.
type checksAnswer struct {
	Place  string        `json:"place"`
	Every  string        `json:"every"`
	Rule   string        `json:"rule"`
	Done   int           `json:"done"`
	Late   int           `json:"late"`
	Missed int           `json:"missed"`
	Rounds []roundAnswer `json:"rounds"`
}

type roundAnswer struct {
	Due   measure.Instant `json:"due_us"`
	At    measure.Instant `json:"at_us,omitempty"`
	State rounds.State    `json:"state"`
	By    string          `json:"by,omitempty"`
	Value string          `json:"value,omitempty"`
	Floor int64           `json:"floor,omitempty"`
	Note  string          `json:"note,omitempty"`
}

func newChecksAnswer(p app.PlaceRounds) checksAnswer {
	ans := checksAnswer{Place: p.Place.Name, Every: p.Every.String(), Rule: p.Rule, Done: p.Count(rounds.Done),
		Late: p.Count(rounds.Late), Missed: p.Count(rounds.Missed), Rounds: []roundAnswer{}}
	made := p.Made
	for _, r := range p.Rounds {
		one := roundAnswer{Due: r.Due, At: r.At, State: r.State}
		if r.At != 0 && len(made) > 0 {
			one.By, one.Floor, one.Note = made[0].By, made[0].Floor, made[0].Note
			if made[0].Read {
				one.Value = exactly(made[0].Temp)
			}
			made = made[1:]
		}
		ans.Rounds = append(ans.Rounds, one)
	}
	return ans
}

func runOvenChecks(ctx context.Context, e *env, place string, t timeOptions) error {
	p, err := e.screen(ctx, "")
	if err != nil {
		return err
	}
	from, to, err := t.instants(ctx, p.app)
	if err != nil {
		return err
	}
	list, err := p.app.OvenChecks(ctx, place, from, to)
	if err != nil {
		return err
	}
	answers := []checksAnswer{}
	sum := show.Table{Head: []string{"place", "asked", "done", "late", "missed"}, Right: []int{2, 3, 4}, Empty: "There is no holding oven."}
	all := show.Table{Head: []string{"place", "due", "made", "was", "by", "read", "floor", "note"}, Right: []int{6},
		Empty: "No check was due."}
	for _, one := range list {
		a := newChecksAnswer(one)
		answers = append(answers, a)
		sum.Add(a.Place, "every "+one.Every.Words(), fmt.Sprint(a.Done), fmt.Sprint(a.Late), fmt.Sprint(a.Missed))
		for _, r := range a.Rounds {
			was, floor := string(r.State), ""
			if r.State != rounds.Done {
				was = strings.ToUpper(was)
			}
			if r.Floor > 0 {
				floor = fmt.Sprint(r.Floor)
			}
			all.Add(a.Place, when(r.Due, p.zone), when(r.At, p.zone), was, r.By, r.Value, floor, r.Note)
		}
	}
	if p.Format == show.AsCSV {
		return p.Answer(answers, all)
	}
	return p.Answer(answers, sum, all)
}
