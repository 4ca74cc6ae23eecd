package main

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"ovenward/alerts/alarm"
	"ovenward/alerts/alarmdb"
	"ovenward/cmd/internal/show"
	"ovenward/inventory/measure"
)

func newAlertCommand(e *env) *cli.Command {
	return group("alert", "what someone must know now", setUp, newAlertListCommand(e),
		newAlertAckCommand(e), newAlertShelveCommand(e), newAlertUnshelveCommand(e),
		newAlertRemoveCommand(e), newAlertRestoreCommand(e), newAlertHistoryCommand(e), newAlertKindsCommand(e),
		newAlertFiguresCommand(e), newAlertTryCommand(e))
}

func newAlertListCommand(e *env) *cli.Command {
	var all bool
	return &cli.Command{
		Name:  "list",
		Usage: "the alarms that the watch raised and that stand or wait for you, the most urgent first",
		Flags: []cli.Flag{&cli.BoolFlag{Name: "all", Usage: "those that are over as well, oldest first", Destination: &all}},
		Action: func(c *cli.Context) error {
			if c.NArg() > 0 {
				return usagef("alert list takes no arguments, got %q", c.Args().First())
			}
			return runAlertList(c.Context, e, all)
		},
	}
}

// alarmAnswer is one alarm, for a program.
type alarmAnswer struct {
	Kind        string           `json:"kind"`
	Subject     string           `json:"subject"`
	Priority    string           `json:"priority"`
	Since       measure.Instant  `json:"since_us"`
	Raised      measure.Instant  `json:"raised_us"`
	Late        bool             `json:"late"`
	Afterwards  bool             `json:"found_afterwards,omitempty"` // by readings that came in when it was over; it was never sent
	Cleared     *measure.Instant `json:"cleared_us"`                 // null while it stands
	Noted       *measure.Instant `json:"cleared_noted_us,omitempty"` // where the fact that ended it was entered late: when that was seen
	What        string           `json:"what"`
	Consequence string           `json:"consequence"`
	Action      string           `json:"action"`
	Due         measure.Instant  `json:"due_us,omitempty"`
	Left        string           `json:"left,omitempty"`  // until due, h:mm
	State       string           `json:"state,omitempty"` // by the names of ISA-18.2
	StateSince  measure.Instant  `json:"state_since_us,omitempty"`
	StateBy     string           `json:"state_by,omitempty"`
	StateWhy    string           `json:"state_why,omitempty"`
	Shelved     measure.Instant  `json:"shelved_until_us,omitempty"`
	Stale       bool             `json:"stale,omitempty"` // it has stood for more than 24 h
}

// in adds the state that the alarm is in.
func (a alarmAnswer) in(s alarmdb.Status) alarmAnswer {
	a.Stale = a.Stale && !s.State.Aside() // that one is counted with what is set aside
	a.State, a.StateSince, a.StateBy, a.StateWhy, a.Shelved = string(s.State), s.Changed, s.By, s.Why, s.Until
	return a
}

func newAlarmAnswer(a alarmdb.Alarm, now measure.Instant) alarmAnswer {
	out := alarmAnswer{Kind: string(a.Kind), Subject: a.Subject, Priority: string(a.Priority), Since: a.Since, Raised: a.Raised,
		Late: a.Late, Cleared: a.Cleared, Noted: a.Noted, What: a.What, Consequence: a.Consequence, Action: a.Action, Due: a.Due, Afterwards: a.Afterwards}
	if a.Stands() && a.Due > now {
		out.Left = a.Due.Sub(now).String()
	}
	out.Stale = a.Stands() && alarm.Stale(a.Since, now)
	return out
}

// alarmHead are the headings of alarms for a spreadsheet.
var alarmHead = []string{"since", "priority", "kind", "subject", "what", "consequence", "action", "left",
	"raised", "late", "over since", "over noted late"}

// stateHead are the headings of an alarm's state, behind those of the alarm.
var stateHead = []string{"state", "state by", "state why", "shelved until"}

func (a alarmAnswer) cells(zone *time.Location) []string {
	late, over, noted := "no", "", ""
	if a.Late {
		late = "yes"
	}
	if a.Afterwards {
		late = "found afterwards"
	}
	if a.Cleared != nil {
		over = when(*a.Cleared, zone)
	}
	if a.Noted != nil {
		noted = when(*a.Noted, zone)
	}
	return []string{when(a.Since, zone), a.Priority, a.Kind, a.Subject, a.What, a.Consequence, a.Action, a.Left,
		when(a.Raised, zone), late, over, noted}
}

func (a alarmAnswer) stateCells(zone *time.Location) []string {
	return []string{a.State, a.StateBy, a.StateWhy, when(a.Shelved, zone)}
}

// passing reports whether it was over as it began: an event does not stand.
func (a alarmAnswer) passing() bool { return a.Cleared != nil && *a.Cleared == a.Since }

// notes says what there is to add to what an alarm is about: the time left,
// that it was raised late, that it is over.
func (a alarmAnswer) notes(zone *time.Location, now measure.Instant) string {
	var notes []string
	if a.passing() {
		return ""
	}
	if a.Cleared == nil && a.Due > now {
		text := left(a.Due.Sub(now)) + " left"
		if alarm.Kind(a.Kind).OfPlace() {
			text += " for the first rods in it"
		}
		notes = append(notes, text)
	}
	if a.Late {
		notes = append(notes, a.known()+until(a.Raised, zone, a.Since))
	}
	if a.Cleared != nil {
		notes = append(notes, a.over(zone))
	}
	if a.Stale {
		notes = append(notes, "stale: it has stood for more than a day")
	}
	switch state := alarm.State(a.State); state {
	case alarm.Acknowledged:
		notes = append(notes, "seen by "+a.StateBy+" at "+until(a.StateSince, zone, now))
	case alarm.Returned:
		notes = append(notes, "nobody has acknowledged it")
	case alarm.OnShelf:
		notes = append(notes, "shelved until "+until(a.Shelved, zone, now)+" by "+a.StateBy+": "+a.StateWhy)
	case alarm.Suppressed, alarm.OutOfService:
		notes = append(notes, string(state)+": "+a.StateWhy)
	case alarm.Normal, alarm.Unacknowledged: // nothing has been done to it
	}
	if len(notes) == 0 {
		return ""
	}
	return " (" + strings.Join(notes, ", ") + ")"
}

// known says how it came to be known of late, up to when.
func (a alarmAnswer) known() string {
	if a.Afterwards {
		return "found afterwards, by readings that came in by "
	}
	return "raised late, at "
}

// over says since when the alarm is over, and when that was seen if the fact that
// ended it was entered late.
func (a alarmAnswer) over(zone *time.Location) string {
	text := "over since " + until(*a.Cleared, zone, a.Since)
	if a.Noted != nil {
		text += ", entered late, at " + until(*a.Noted, zone, *a.Cleared)
	}
	return text
}

func runAlertList(ctx context.Context, e *env, all bool) error {
	p, err := e.screen(ctx, "")
	if err != nil {
		return err
	}
	list, counts, err := p.app.Board(ctx, all)
	if err != nil {
		return err
	}
	answers := make([]alarmAnswer, len(list))
	t := show.Table{Head: slices.Concat(alarmHead, stateHead)}
	for i, one := range list {
		answers[i] = newAlarmAnswer(one.Alarm, p.at).in(one.Status)
		t.Add(slices.Concat(answers[i].cells(p.zone), answers[i].stateCells(p.zone))...)
	}
	if p.Format != show.AsTable {
		return p.Answer(answers, t)
	}
	if err := printAlarms(p.Printer, answers, all, p.zone, p.at); err != nil {
		return err
	}
	if err := p.Line("\n%s", setAside(counts)); err != nil {
		return err
	}
	return staleLine(p.Printer, answers)
}

// staleLine counts what nobody has put right for a day; it is silent where there is
// nothing of that kind.
func staleLine(p *show.Printer, list []alarmAnswer) error {
	n := 0
	for _, a := range list {
		if a.Stale {
			n++
		}
	}
	if n == 0 {
		return nil
	}
	return p.Line("Stale, standing for more than a day: %d. See to them or have QA change what raises them.", n)
}

// setAside counts what does not call, so that nothing is hidden.
func setAside(counts map[alarm.State]int) string {
	return fmt.Sprintf("Set aside: %d shelved, %d suppressed by design, %d out of service.",
		counts[alarm.OnShelf], counts[alarm.Suppressed], counts[alarm.OutOfService])
}

// printAlarms prints each alarm with what it means and what to do.
func printAlarms(p *show.Printer, list []alarmAnswer, all bool, zone *time.Location, now measure.Instant) error {
	title, empty := "STANDING", "No alarm stands."
	if all {
		title, empty = "EVERY ALARM", "No alarm was ever raised: is the watch running? ovenward watch"
	}
	if err := p.Line("%s at %s", title, when(now, zone)); err != nil {
		return err
	}
	if len(list) == 0 {
		return p.Line("%s", empty)
	}
	for _, a := range list {
		if err := p.Line(""); err != nil {
			return err
		}
		lines := []string{a.What + a.notes(zone, now), a.Consequence}
		if a.Cleared == nil {
			lines = append(lines, "-> "+a.Action)
		}
		if alarm.State(a.State) == alarm.Returned {
			lines = append(lines, "-> say that you have seen it: ovenward alert ack "+a.Subject)
		}
		lead := fmt.Sprintf("%-6s  %s  ", strings.ToUpper(a.Priority), when(a.Since, zone))
		for _, l := range lines {
			if err := sentence(p, lead, l); err != nil {
				return err
			}
			lead = strings.Repeat(" ", len(lead))
		}
	}
	return nil
}
