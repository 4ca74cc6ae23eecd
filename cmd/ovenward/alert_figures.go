package main

import (
	"context"
	"fmt"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"ovenward/alerts/alarm"
	"ovenward/cmd/internal/show"
	"ovenward/inventory/measure"
)

func newAlertFiguresCommand(e *env) *cli.Command {
	var t timeOptions
	var operators int
	return &cli.Command{Name: "figures", Usage: "whether there are too many alarms: rate, floods, chattering, stale, the ten worst",
		Description: `   ovenward alert figures --from 2026-01-01 --to 2026-03-31

Each figure stands beside what ISA-18.2 and EEMUA 191 think acceptable for one
operator over 30 days or more. A flood begins with more than 10 alarms in 10 minutes and
ends below 5; an alarm chatters that begins or ceases 3 times within a minute and is stale
when it has stood for more than 24 hours. What is told once and does not stand is not counted.`,
		Flags: append(t.flags(), &cli.IntFlag{Name: "operators", Value: 1, Destination: &operators,
			Usage: "`HOW MANY` people see to the alarms of the site at a time"}),
		Action: func(c *cli.Context) error {
			if c.NArg() > 0 || operators < 1 {
				return usagef("alert figures takes no arguments, and --operators is 1 or more")
			}
			return runAlertFigures(c.Context, e, t, operators)
		}}
}

// figuresAnswer is the figures of alarms, for a program.
type figuresAnswer struct {
	From       measure.Instant `json:"from_us"`
	To         measure.Instant `json:"to_us"`
	Operators  int             `json:"operators"`
	Raised     int             `json:"raised"`
	Quiet      int             `json:"raised_while_set_aside"`
	PeakFrom   measure.Instant `json:"peak_from_us,omitempty"`
	Floods     int             `json:"floods"`
	FloodTime  string          `json:"flood_time"`
	Stale      int             `json:"stale"`
	StaleDay   measure.Instant `json:"stale_most_on_us,omitempty"`
	Low        int             `json:"low"`
	Medium     int             `json:"medium"`
	High       int             `json:"high"`
	Shelved    int             `json:"shelved"`
	Hushed     int             `json:"suppressed"`
	Withdrawn  int             `json:"taken_out_of_service"`
	Goals      []goalAnswer    `json:"goals"`
	Top        []originAnswer  `json:"top"`
	Chattering []originAnswer  `json:"chattering"`
}

type goalAnswer struct {
	Figure string  `json:"figure"`
	Value  float64 `json:"value"`
	Good   float64 `json:"acceptable"`
	Most   float64 `json:"manageable,omitempty"`
	Under  bool    `json:"acceptable_is_below"`
	Met    bool    `json:"met"`
	Source string  `json:"source"`

	goal alarm.Goal
}

type originAnswer struct {
	Kind    string  `json:"kind"`
	Subject string  `json:"subject,omitempty"`
	N       int     `json:"n"`
	Share   float64 `json:"share"`
}

func newFiguresAnswer(f alarm.Figures, s alarm.Span) figuresAnswer {
	a := figuresAnswer{From: s.From, To: s.To, Operators: s.Operators, Raised: f.Raised, Quiet: f.Quiet, PeakFrom: f.PeakFrom,
		Floods: f.Flood.N, FloodTime: f.Flood.Time.String(), Stale: f.Stale, StaleDay: f.StaleDay,
		Low: f.Split[alarm.Low], Medium: f.Split[alarm.Medium], High: f.Split[alarm.High],
		Shelved: f.Shelved, Hushed: f.Hushed, Withdrawn: f.Withdrawn, Top: originAnswers(f.Top), Chattering: originAnswers(f.Chattering)}
	for _, g := range f.Goals(s.Operators) {
		a.Goals = append(a.Goals, goalAnswer{g.Name, g.Value, g.Good, g.Most, g.Under, g.Met(), g.Source, g})
	}
	return a
}

func originAnswers(list []alarm.Source) []originAnswer {
	out := []originAnswer{}
	for _, s := range list {
		out = append(out, originAnswer{string(s.Kind), s.Subject, s.N, s.Share})
	}
	return out
}

func runAlertFigures(ctx context.Context, e *env, o timeOptions, operators int) error {
	p, from, to, err := e.period(ctx, o)
	if err != nil {
		return err
	}
	if o.To == "" {
		to++ // with what was raised this instant
	}
	f, span, err := p.app.AlarmFigures(ctx, from, to, operators)
	if err != nil {
		return err
	}
	a := newFiguresAnswer(f, span)
	t := show.Table{Head: []string{"figure", "value", "acceptable", "", "source"}}
	for _, g := range a.Goals {
		t.Add(g.Figure, g.number(g.Value), g.limit(), g.verdict(), g.Source)
	}
	if p.Format != show.AsTable {
		return p.Answer(a, t)
	}
	if err := p.Line("ALARMS from %s to %s", when(span.From, p.zone), when(span.To, p.zone)); err != nil {
		return err
	}
	if err := p.Answer(a, t); err != nil {
		return err
	}
	for _, l := range a.notes(p, span) {
		if err := p.Line("%s", l); err != nil {
			return err
		}
	}
	return nil
}

// number prints a figure of the goal.
func (g goalAnswer) number(x float64) string {
	if g.goal.Share {
		return strconv.FormatFloat(100*x, 'f', 1, 64) + " %"
	}
	return strconv.FormatFloat(x, 'f', 2, 64)
}

func (g goalAnswer) limit() string {
	text := "at most "
	if g.Under {
		text = "below "
	}
	unit := ""
	good := g.Good
	if g.goal.Share {
		unit, good = " %", 100*good
	}
	return text + strconv.FormatFloat(good, 'f', -1, 64) + unit
}

func (g goalAnswer) verdict() string {
	switch {
	case g.Met:
		return "ok"
	case g.goal.Manageable():
		return "can be managed, not more"
	}
	return "TOO MUCH"
}

// notes says what stands behind the figures.
func (a figuresAnswer) notes(p screen, s alarm.Span) []string {
	lines := []string{"", fmt.Sprintf("%d raised (%d high, %d medium, %d low), %d more began while set aside.", a.Raised, a.High, a.Medium, a.Low, a.Quiet)}
	if a.Raised > 0 {
		lines = append(lines, fmt.Sprintf("Most in 10 min from %s; %s.", when(a.PeakFrom, p.zone), a.flooded()))
	}
	lines = append(lines, fmt.Sprintf("%d stood for more than a day.", a.Stale),
		fmt.Sprintf("Set aside: %d times shelved, %d suppressed by design, %d taken out of service.", a.Shelved, a.Hushed, a.Withdrawn))
	lines = append(lines, originLines("Most alarms come from", a.Top)...)
	lines = append(lines, originLines("These chatter", a.Chattering)...)
	if s.Length() < alarm.FewDays*measure.Day {
		lines = append(lines, "", fmt.Sprintf("This is less than %d days: the goals are meant for longer.", alarm.FewDays))
	}
	return lines
}

// flooded says how often and how long alarms came too fast to follow.
func (a figuresAnswer) flooded() string {
	switch a.Floods {
	case 0:
		return "no flood"
	case 1:
		return "one flood, of " + a.FloodTime
	}
	return fmt.Sprintf("%d floods, %s in all", a.Floods, a.FloodTime)
}

func originLines(title string, list []originAnswer) []string {
	if len(list) == 0 {
		return nil
	}
	lines := []string{"", title + ":"}
	for _, s := range list {
		lines = append(lines, fmt.Sprintf("  %5d  %4.1f %%  %s", s.N, 100*s.Share, strings.TrimSpace(s.Kind+" "+s.Subject)))
	}
	return lines
}
