package main

import (
	"context"
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"

	"ovenward/alerts/alarm"
	"ovenward/cmd/internal/show"
	"ovenward/inventory/measure"
)

func newAlertKindsCommand(e *env) *cli.Command {
	return &cli.Command{Name: "kinds", Usage: "every kind of alarm: what it means, what to do, who, delays, shelving",
		ArgsUsage: "[KIND]",
		Description: `Figures are a starter catalogue's: no standard gives them. The file of watch --config
changes single ones, in tables such as

   [[alarm]]
   kind = "oven-cold"
   on_delay = "5m"              # how long it must be cold before it is raised
   deadband = "4 F"             # by how much it must be back, and for
   off_delay = "5m"             # how long, before it ceases
   shelve = "2h"                # the longest shelf, or "never"
   second = true                # another person must agree
   realarm = "30m"              # one that stands calls again so long after it was acknowledged
   escalate = ["15m supervisor", "1h qa"]   # a note: who is told so long after is the
                                # channel's "after", see ovenward watch --help

What follows from recorded facts alone has no delay and no deadband, and an alarm of
a limit that has passed is never shelved: such settings are refused. A delay changes
when somebody is told and never how exposure is judged.`,
		Action: func(c *cli.Context) error {
			if c.NArg() > 1 {
				return usagef("alert kinds takes one kind, or none for all")
			}
			return runAlertKinds(c.Context, e, c.Args().First())
		}}
}

// kindAnswer is an entry of the catalogue, for a program.
type kindAnswer struct {
	Kind        string   `json:"kind"`
	Priority    string   `json:"priority"`
	Consequence string   `json:"consequence"`
	Action      string   `json:"action"`
	Who         string   `json:"who"`
	On          string   `json:"on_delay,omitempty"`
	Deadband    string   `json:"deadband,omitempty"`
	Off         string   `json:"off_delay,omitempty"`
	Suppressed  string   `json:"suppressed_when,omitempty"`
	Shelf       string   `json:"shelved_at_most"` // "never"
	Second      bool     `json:"second_person"`
	Realarm     string   `json:"realarm,omitempty"`
	Escalate    []string `json:"escalate"`
	Kept        bool     `json:"kept"`    // waits to be acknowledged after it is over
	Event       bool     `json:"event"`   // told once and does not stand
	Watched     bool     `json:"watched"` // false: the watch does not raise it yet
	Source      string   `json:"source"`
	Status      string   `json:"status"`
}

func newKindAnswer(e alarm.Entry, units measure.UnitSystem) kindAnswer {
	a := kindAnswer{Kind: string(e.Kind), Priority: string(e.Priority), Consequence: e.Consequence, Action: e.Action, Who: e.Who,
		On: lasting(e.On), Off: lasting(e.Off), Suppressed: e.Suppressed, Shelf: lasting(e.Shelf), Second: e.Second,
		Realarm: lasting(e.Realarm), Escalate: []string{}, Kept: e.Kept, Event: e.Event, Watched: !e.Kind.Unwatched(), Source: e.Source, Status: e.Status}
	if e.Deadband != 0 {
		a.Deadband = e.Deadband.Difference(units)
	}
	if e.Shelf == 0 {
		a.Shelf = "never"
	}
	for _, s := range e.Escalate {
		a.Escalate = append(a.Escalate, "after "+lasting(s.After)+" to "+s.To)
	}
	return a
}

// lasting prints a duration, nothing for none.
func lasting(d measure.Duration) string {
	switch days := d / measure.Day; {
	case d == 0:
		return ""
	case days > 1 && d%measure.Day == 0:
		return fmt.Sprintf("%d days", days)
	}
	return d.Words()
}

func runAlertKinds(ctx context.Context, e *env, kind string) error {
	if kind != "" {
		if _, err := alarm.ParseKind(kind); err != nil {
			return asUsage(err)
		}
	}
	p, err := e.screen(ctx, "")
	if err != nil {
		return err
	}
	catalogue, err := p.app.Alarmed(ctx)
	if err != nil {
		return err
	}
	words, err := p.app.Words(ctx)
	if err != nil {
		return err
	}
	var answers []kindAnswer
	t := show.Table{Head: []string{"kind", "priority", "who", "on delay", "deadband", "off delay", "shelved", "second person",
		"again after", "escalated", "suppressed when", "consequence", "action", "source", "status"}}
	for _, one := range catalogue.Entries() {
		if kind == "" || string(one.Kind) == kind {
			a := newKindAnswer(one, words.Units)
			answers = append(answers, a)
			t.Add(a.Kind, a.Priority, a.Who, a.On, a.Deadband, a.Off, a.Shelf, yes(a.Second), a.Realarm,
				strings.Join(a.Escalate, ", "), a.Suppressed, a.Consequence, a.Action, a.Source, a.Status)
		}
	}
	if p.Format != show.AsTable {
		return p.Answer(answers, t)
	}
	for _, a := range answers {
		for _, l := range a.lines() {
			if err := p.Line("%s", l); err != nil {
				return err
			}
		}
	}
	return nil
}

func yes(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

// lines prints an entry for a person.
func (a kindAnswer) lines() []string {
	first := strings.ToUpper(a.Priority) + "  " + a.Kind + ", for " + a.Who
	if a.Event {
		first = "EVENT  " + a.Kind + ", for " + a.Who + ": told once, does not stand"
	}
	if a.Status == alarm.Changed {
		first += " (changed by this shop)"
	}
	lines := []string{first, "   " + a.Consequence + " -> " + a.Action}
	var delays []string
	for _, d := range []struct{ text, value string }{{"raised after ", a.On}, {"back by ", a.Deadband}, {"over after ", a.Off},
		{"calls again after ", a.Realarm}, {"a channel should escalate it ", strings.Join(a.Escalate, ", ")}} {
		if d.value != "" {
			delays = append(delays, d.text+d.value)
		}
	}
	shelf := "shelved " + a.Shelf
	if a.Shelf != "never" {
		shelf = "shelved " + a.Shelf + " at most"
	}
	if a.Second {
		shelf += " by two people"
	}
	if !a.Event {
		delays = append(delays, shelf)
	}
	if len(delays) > 0 {
		lines = append(lines, "   "+strings.Join(delays, "; "))
	}
	if !a.Watched {
		lines = append(lines, "   not raised yet: the watch does not look for it")
	}
	if a.Suppressed != "" {
		lines = append(lines, "   suppressed by design: "+a.Suppressed)
	}
	return append(lines, "   source: "+a.Source, "")
}
