package main

import (
	"context"
	"slices"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"ovenward/alerts/alarm"
	"ovenward/alerts/alarmdb"
	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// handleOptions are what is done to the alarms of a slip, bundle or place.
type handleOptions struct {
	Event   alarm.Event
	Subject string
	Kind    string
	Second  string
	Why     string
	For     string
	Once    bool
}

func (o *handleOptions) flags() []cli.Flag {
	return []cli.Flag{
		&cli.StringFlag{Name: "kind", Usage: "`KIND` of alarm, such as oven-cold, where several stand", Destination: &o.Kind},
		&cli.StringFlag{Name: "why", Usage: "the `REASON`, which is kept", Destination: &o.Why},
	}
}

func (o *handleOptions) command(e *env, name, usage, description string, more ...cli.Flag) *cli.Command {
	return &cli.Command{Name: name, Usage: usage, ArgsUsage: "SLIP|BUNDLE|PLACE", Description: description,
		Flags: append(o.flags(), more...),
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 {
				return usagef("alert %s takes one slip, bundle or place: ovenward alert %s H1", name, name)
			}
			if o.Why == "" && o.Event != alarm.Ack {
				return usagef("alert %s asks for the reason: --why TEXT", name)
			}
			o.Subject = c.Args().First()
			return runHandle(c.Context, e, *o)
		}}
}

func newAlertAckCommand(e *env) *cli.Command {
	o := &handleOptions{Event: alarm.Ack}
	return o.command(e, "ack", "say that you have seen an alarm: not that it is mended",
		"Every alarm of the slip, bundle or place that waits for it is acknowledged, once: who\ncomes second is told who was first.")
}

func newAlertShelveCommand(e *env) *cli.Command {
	o := &handleOptions{Event: alarm.Shelve}
	return o.command(e, "shelve", "silence an alarm for a time, with a reason",
		`   ovenward alert shelve H1 --for 2:00 --second Q1 --why "door seal is being changed"

The time is bounded by the kind of alarm, and never reaches past the limit of rods.
An alarm of rods past their limit is never shelved. A shelved alarm goes on being
watched; it comes back by itself when its time is over or when it gets worse.`,
		&cli.StringFlag{Name: "for", Usage: "how `LONG`, such as 2:00 or 90m", Destination: &o.For},
		&cli.BoolFlag{Name: "once", Usage: "bring it back as soon as the condition is over, too", Destination: &o.Once},
		&cli.StringFlag{Name: "second", Usage: "badge of the `OTHER` who agrees, where two people are asked for", Destination: &o.Second})
}

func newAlertUnshelveCommand(e *env) *cli.Command {
	o := &handleOptions{Event: alarm.Unshelve}
	return o.command(e, "unshelve", "bring a shelved alarm back before its time", "")
}

func newAlertRemoveCommand(e *env) *cli.Command {
	o := &handleOptions{Event: alarm.Remove}
	return o.command(e, "remove", "take an alarm out of service until it is restored: QA", "")
}

func newAlertRestoreCommand(e *env) *cli.Command {
	o := &handleOptions{Event: alarm.Restore}
	return o.command(e, "restore", "put an alarm back into service: QA", "")
}

// handledAnswer is an alarm that something was done to, for a program.
type handledAnswer struct {
	Kind    string          `json:"kind"`
	Subject string          `json:"subject"`
	Done    string          `json:"done"`
	State   string          `json:"state"`
	Until   measure.Instant `json:"shelved_until_us,omitempty"`
}

func runHandle(ctx context.Context, e *env, o handleOptions) error {
	p, err := e.screen(ctx, "")
	if err != nil {
		return err
	}
	h := app.Handling{Event: o.Event, By: strings.TrimSpace(e.by), Second: strings.TrimSpace(o.Second), Why: o.Why, Once: o.Once}
	if o.Event == alarm.Shelve {
		if h.For, err = measure.ParseDuration(o.For); err != nil {
			return usagef("--for %q: how long, such as 2:00 or 90m", o.For)
		}
	}
	tags, err := handled(ctx, p.app, o)
	if err != nil {
		return err
	}
	var done []handledAnswer
	t := show.Table{Head: []string{"kind", "subject", "done", "state", "shelved until"}}
	for _, tag := range tags {
		h.Tag = tag
		after, err := p.app.Handle(ctx, h)
		if err != nil {
			return err
		}
		done = append(done, handledAnswer{string(tag.Kind), tag.Subject, string(o.Event), string(after.State), after.Until})
		t.Add(string(tag.Kind), tag.Subject, string(o.Event), string(after.State), when(after.Until, p.zone))
	}
	if p.Format != show.AsTable {
		return p.Answer(done, t)
	}
	for _, d := range done {
		if err := p.Line("%s  %s of %s%s", strings.ToUpper(d.Done), d.Kind, d.Subject, shelvedUntil(d.Until, p.zone, p.at)); err != nil {
			return err
		}
	}
	return nil
}

func shelvedUntil(at measure.Instant, zone *time.Location, now measure.Instant) string {
	if at == 0 {
		return ""
	}
	return ", until " + until(at, zone, now)
}

// handled returns the tags that are meant: those of the subject to which the
// event can happen. Only an acknowledgement may mean several.
func handled(ctx context.Context, a *app.App, o handleOptions) ([]alarm.Tag, error) {
	list, err := a.AlarmStates(ctx)
	if err != nil {
		return nil, err
	}
	subject := named(list, o.Subject)
	if o.Kind != "" {
		kind, err := alarm.ParseKind(o.Kind)
		return []alarm.Tag{{Kind: kind, Subject: subject}}, asUsage(err)
	}
	var tags, any []alarm.Tag
	for _, s := range list {
		if s.Subject != subject {
			continue
		}
		any = append(any, s.Tag())
		if _, err := s.Machine().Next(o.Event); err == nil {
			tags = append(tags, s.Tag())
		}
	}
	if len(tags) == 0 && len(any) > 0 {
		tags = any[:1] // the refusal says why not
	}
	switch {
	case len(tags) == 0:
		return nil, &inventory.Refusal{Code: inventory.Unknown, Subject: o.Subject, Why: "no alarm of it stands or waits",
			Next: "see ovenward alert list; name the alarm with --kind"}
	case len(tags) > 1 && o.Event != alarm.Ack:
		return nil, usagef("%s has several alarms (%s): say which with --kind", subject, kindsOf(tags))
	}
	return tags, nil
}

func asUsage(err error) error {
	if err == nil {
		return nil
	}
	return usagef("%v", err)
}

// named returns the subject as it is written in the states: a scanned code or a
// place may come in small letters.
func named(list []alarmdb.Status, subject string) string {
	i := slices.IndexFunc(list, func(s alarmdb.Status) bool { return strings.EqualFold(s.Subject, subject) })
	if i < 0 {
		return subject
	}
	return list[i].Subject
}

func kindsOf(tags []alarm.Tag) string {
	names := make([]string, len(tags))
	for i, t := range tags {
		names[i] = string(t.Kind)
	}
	return strings.Join(names, ", ")
}

func newAlertHistoryCommand(e *env) *cli.Command {
	var t timeOptions
	var kind string
	return &cli.Command{Name: "history", Usage: "what happened to alarms: who, when and why", ArgsUsage: "[SLIP|BUNDLE|PLACE]",
		Flags: append(t.flags(), &cli.StringFlag{Name: "kind", Usage: "only alarms of a `KIND`", Destination: &kind}),
		Action: func(c *cli.Context) error {
			if c.NArg() > 1 {
				return usagef("alert history takes one slip, bundle or place, or none for all")
			}
			return runAlertHistory(c.Context, e, alarm.Tag{Kind: alarm.Kind(kind), Subject: c.Args().First()}, t)
		}}
}

// transitionAnswer is one step of an alarm, for a program.
type transitionAnswer struct {
	Seq     int64           `json:"seq"`
	At      measure.Instant `json:"at_us"`
	Kind    string          `json:"kind"`
	Subject string          `json:"subject"`
	Event   string          `json:"event"`
	From    string          `json:"from"`
	To      string          `json:"to"`
	By      string          `json:"by"`
	Why     string          `json:"why"`
}

func runAlertHistory(ctx context.Context, e *env, tag alarm.Tag, o timeOptions) error {
	if tag.Kind != "" {
		if _, err := alarm.ParseKind(string(tag.Kind)); err != nil {
			return asUsage(err)
		}
	}
	p, err := e.screen(ctx, "")
	if err != nil {
		return err
	}
	from, to, err := o.instants(ctx, p.app)
	if err != nil {
		return err
	}
	if to == 0 {
		to = p.at + 1
	}
	list, err := p.app.AlarmHistory(ctx, tag, from, to)
	if err != nil {
		return err
	}
	answers := make([]transitionAnswer, len(list))
	t := show.Table{Head: []string{"at", "kind", "subject", "event", "state", "by", "why"}}
	for i, s := range list {
		answers[i] = transitionAnswer{s.Seq, s.At, string(s.Kind), s.Subject, string(s.Event), string(s.From), string(s.To), s.By, s.Why}
		t.Add(when(s.At, p.zone), string(s.Kind), s.Subject, string(s.Event), string(s.To), s.By, s.Why)
	}
	if len(list) == 0 && p.Format == show.AsTable {
		return p.Line("Nothing happened to any such alarm.")
	}
	return p.Answer(answers, t)
}
