package main

import (
	"context"
	"fmt"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/chart"
	"ovenward/storage/evidence"
)

func newOvenHistoryCommand(e *env) *cli.Command {
	var t timeOptions
	var d drawOptions
	return &cli.Command{
		Name: "history", Usage: "was it ever out of range, for how long, and what was inside", ArgsUsage: "PLACE",
		Description: `   ovenward oven history H1 --from 2025-06-01 --to 2025-06-30

Judged by what the rule set in force asks for low-hydrogen rods. Between two
readings the lower one applies to a minimum and the higher one to a maximum;
readings further apart than the rule set allows prove nothing. Rods in packages
that are still sealed are not listed.

--trace and --svg draw the readings with the limits, what is not proven, what was
switched off, and what was inside and when the door was opened for it; of the
last week where no --from is given.`,
		Flags: append(t.flags(), d.flags()...),
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 {
				return usagef("oven history takes one place")
			}
			return runOvenHistory(c.Context, e, c.Args().First(), t, d)
		},
	}
}

// historyAnswer is what an oven went through, for a program.
type historyAnswer struct {
	Place    string              `json:"place"`
	Kind     inventory.PlaceKind `json:"kind"`
	Sensors  []string            `json:"sensors"`
	From     measure.Instant     `json:"from_us"`
	To       measure.Instant     `json:"to_us"`
	Rule     string              `json:"rule"`
	Source   string              `json:"source"`
	Min      string              `json:"min,omitempty"`
	Max      string              `json:"max,omitempty"`
	MaxGap   string              `json:"max_gap"`
	InRange  totalAnswer         `json:"in_range"`
	TooCold  totalAnswer         `json:"too_cold"`
	TooHot   totalAnswer         `json:"too_hot"`
	Unproven totalAnswer         `json:"unproven"`
	Pieces   []stretchAnswer     `json:"stretches"`
	Sources  []shareAnswer       `json:"sources"`
	Flagged  []flaggedAnswer     `json:"flagged"`
}

type stretchAnswer struct {
	From    measure.Instant  `json:"from_us"`
	To      measure.Instant  `json:"to_us"`
	Finding string           `json:"finding"`
	Reason  string           `json:"reason,omitempty"`
	Length  string           `json:"length"`
	Lowest  string           `json:"lowest,omitempty"`
	Highest string           `json:"highest,omitempty"`
	Inside  []occupantAnswer `json:"inside"`
}

type occupantAnswer struct {
	Bundle string          `json:"bundle"`
	Lot    string          `json:"lot"`
	Class  string          `json:"class"`
	From   measure.Instant `json:"from_us"`
	To     measure.Instant `json:"to_us,omitempty"`
}

func runOvenHistory(ctx context.Context, e *env, place string, o timeOptions, d drawOptions) error {
	if err := d.check(); err != nil {
		return err
	}
	p, from, to, err := e.past(ctx, o)
	if err != nil {
		return err
	}
	if d.asked() && o.From == "" {
		from = to.Add(-7 * measure.Day)
	}
	h, err := p.app.OvenHistory(ctx, place, from, to)
	if err != nil {
		return err
	}
	drawn := d.drawing(func() chart.Chart { return ovenChart(h, p.zone) })
	if done, err := drawn.onto(e); done || err != nil {
		return err
	}
	ans := newHistoryAnswer(h)
	if p.Format == show.AsTable {
		if err := ans.sayTotals(p.Printer, h, p.zone); err != nil {
			return err
		}
		if err := drawn.trace(p.Printer); err != nil {
			return err
		}
	}
	return p.Answer(ans, ans.table(p.zone))
}

func newHistoryAnswer(h app.OvenHistory) historyAnswer {
	ans := historyAnswer{Place: h.Place.Name, Kind: h.Place.Kind, Sensors: some(h.Sensors), From: h.From, To: h.To,
		Rule: h.Asked.Name(), Source: strings.Join(h.Asked.Sources, "; "),
		Min: h.Asked.Min, Max: h.Asked.Max, MaxGap: h.Gap.String(),
		InRange: newTotalAnswer(h.Total(evidence.InRange), h.Units), TooCold: newTotalAnswer(h.Total(evidence.TooCold), h.Units),
		TooHot: newTotalAnswer(h.Total(evidence.TooHot), h.Units), Unproven: newTotalAnswer(h.Total(evidence.Unproven), h.Units),
		Pieces: []stretchAnswer{}, Sources: newShareAnswers(h.Shares), Flagged: newFlaggedAnswers(h.Flagged)}
	for _, s := range h.Stretches {
		one := stretchAnswer{From: s.From, To: s.To, Finding: s.Finding.String(), Reason: string(s.Reason),
			Length: s.To.Sub(s.From).String(), Inside: []occupantAnswer{}}
		if s.Read {
			one.Lowest, one.Highest = s.Low.In(h.Units), s.High.In(h.Units)
		}
		for _, o := range s.Inside {
			one.Inside = append(one.Inside, occupantAnswer(o))
		}
		ans.Pieces = append(ans.Pieces, one)
	}
	return ans
}

// sayTotals answers the three questions before the stretches are listed.
func (a historyAnswer) sayTotals(p *show.Printer, h app.OvenHistory, zone *time.Location) error {
	t := show.Table{Title: fmt.Sprintf("%s, a %s, %s to %s", a.Place, a.Kind, when(a.From, zone), when(a.To, zone))}
	t.Add("asked", h.Asked.String()+", readings at most "+h.Gap.Words()+" apart")
	t.Add("rule", a.Rule+": "+a.Source)
	if len(a.Pieces) > 0 {
		a.addTotals(&t, h)
	}
	addShares(&t, h)
	if err := p.Answer(nil, t); err != nil {
		return err
	}
	return p.Line("")
}

func (a historyAnswer) addTotals(t *show.Table, h app.OvenHistory) {
	if a.Min != "" {
		cold := h.Total(evidence.TooCold)
		t.Add("too cold", a.TooCold.words("lowest "+cold.Low.InBoth(h.Units)))
	}
	if a.Max != "" {
		hot := h.Total(evidence.TooHot)
		t.Add("too hot", a.TooHot.words("highest "+hot.High.InBoth(h.Units)))
	}
	t.Add("no proof", a.Unproven.words(""))
	t.Add("in range", a.InRange.inAll())
}

func (a historyAnswer) table(zone *time.Location) show.Table {
	t := show.Table{Head: []string{"from", "to", "how long", "was", "lowest", "highest", "inside"},
		Right: []int{2}, Spare: []int{5}, Empty: "There is no reading and nothing to judge."}
	for _, s := range a.Pieces {
		was := s.Finding
		switch {
		case s.Reason != "":
			was = s.Reason
		case s.Finding != evidence.InRange.String():
			was = strings.ToUpper(s.Finding)
		}
		var inside []string
		for _, o := range s.Inside {
			inside = append(inside, fmt.Sprintf("%s (%s, lot %s)", o.Bundle, o.Class, o.Lot))
		}
		t.Add(s.From.In(zone), s.To.In(zone), s.Length, was, s.Lowest, s.Highest, strings.Join(inside, ", "))
		if len(inside) > 0 {
			t.Note = "next: what it did to a bundle: ovenward exposure BUNDLE"
		}
	}
	return t
}
