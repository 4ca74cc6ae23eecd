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
	"ovenward/storage/air"
)

func newClimateHistoryCommand(e *env) *cli.Command {
	var t timeOptions
	return &cli.Command{
		Name: "history", Usage: "was the store within its limits, and which stock stood in it", ArgsUsage: "PLACE",
		Description: `   ovenward climate history store --from 2025-06-01 --to 2025-06-30

Judged by the pairs of temperature and humidity that the rule set in force asks
for the packages that were there. Between two readings both speak: the time is
within the limits only where both are. Readings further apart than the rule set
allows prove nothing.`,
		Flags: t.flags(),
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 {
				return usagef("climate history takes one place")
			}
			return runClimateHistory(c.Context, e, c.Args().First(), t)
		},
	}
}

// climateAnswer is what the air of a place was, for a program.
type climateAnswer struct {
	Place    string               `json:"place"`
	From     measure.Instant      `json:"from_us"`
	To       measure.Instant      `json:"to_us"`
	Rules    string               `json:"rules"`
	MaxGap   string               `json:"max_gap"`
	Readings int                  `json:"readings"`
	Limits   []climateGroupAnswer `json:"limits"`
}

type climateGroupAnswer struct {
	Rows     string              `json:"rows"`
	Says     string              `json:"says"`
	Source   string              `json:"source"`
	Within   totalAnswer         `json:"within"`
	Outside  totalAnswer         `json:"outside"`
	Unproven totalAnswer         `json:"unproven"`
	Pieces   []climateSpanAnswer `json:"stretches"` // that were outside or are not proven
	Stock    []keptStockAnswer   `json:"stock"`
}

type climateSpanAnswer struct {
	From    measure.Instant `json:"from_us"`
	To      measure.Instant `json:"to_us"`
	Finding string          `json:"finding"`
	Why     string          `json:"why,omitempty"`
	Inside  []string        `json:"inside"`
}

type keptStockAnswer struct {
	Bundle   string            `json:"bundle"`
	Lot      string            `json:"lot"`
	Class    string            `json:"class"`
	Package  inventory.Package `json:"package"`
	From     measure.Instant   `json:"from_us"`
	To       measure.Instant   `json:"to_us,omitempty"`
	Outside  string            `json:"outside"`
	Unproven string            `json:"unproven"`
}

func runClimateHistory(ctx context.Context, e *env, place string, o timeOptions) error {
	p, from, to, err := e.past(ctx, o)
	if err != nil {
		return err
	}
	h, err := p.app.ClimateHistory(ctx, place, from, min(to, p.at))
	if err != nil {
		return err
	}
	ans := newClimateAnswer(h)
	return p.Answer(ans, ans.tables(p.zone)...)
}

func newClimateAnswer(h app.ClimateHistory) climateAnswer {
	ans := climateAnswer{Place: h.Place.Name, From: h.From, To: h.To, Rules: h.Set, MaxGap: h.Gap.String(),
		Readings: len(h.Readings), Limits: []climateGroupAnswer{}}
	for i := range h.Groups {
		ans.Limits = append(ans.Limits, newClimateGroup(&h.Groups[i]))
	}
	return ans
}

func newClimateGroup(g *app.ClimateGroup) climateGroupAnswer {
	total := func(f air.Finding) totalAnswer { return newTotalAnswer(g.Total(f), measure.SI) }
	a := climateGroupAnswer{Rows: g.Limits.Names(), Says: g.Limits.String(), Source: g.Limits.Sources(),
		Within: total(air.Within), Outside: total(air.Outside), Unproven: total(air.Unknown),
		Pieces: []climateSpanAnswer{}, Stock: []keptStockAnswer{}}
	for _, s := range g.Spans {
		if s.Finding == air.Within {
			continue
		}
		one := climateSpanAnswer{From: s.From, To: s.To, Finding: s.Finding.String(), Why: s.Why, Inside: []string{}}
		for _, k := range g.During(s) {
			one.Inside = append(one.Inside, k.Bundle)
		}
		a.Pieces = append(a.Pieces, one)
	}
	for _, k := range g.Stock {
		a.Stock = append(a.Stock, keptStockAnswer{Bundle: k.Bundle, Lot: k.Lot, Class: k.Class, Package: k.Package,
			From: k.From, To: k.To, Outside: k.Outside.String(), Unproven: k.Unknown.String()})
	}
	return a
}

// tables are the answer for a person: what was asked and how it came out, when it
// was not, and what stood there.
func (a climateAnswer) tables(zone *time.Location) []show.Table {
	head := show.Table{Title: fmt.Sprintf("the air of %s, %s to %s: %s", a.Place, when(a.From, zone), when(a.To, zone),
		counted(a.Readings, "reading", "readings"))}
	if len(a.Limits) == 0 {
		head.Empty = "Nothing was there that the rule set in force asks a climate for.\n" +
			"next: what was read: ovenward climate readings \"" + a.Place + "\""
		return []show.Table{head}
	}
	var all []show.Table
	for _, g := range a.Limits {
		all = append(all, g.summary(a, head.Title), g.stretches(zone), g.stock(zone))
	}
	return all
}

func (g climateGroupAnswer) summary(a climateAnswer, title string) show.Table {
	t := show.Table{Title: title}
	t.Add("asked", g.Says)
	t.Add("rule", a.Rules+"/"+g.Rows+": "+g.Source)
	t.Add("outside", g.Outside.words(""))
	t.Add("no proof", g.Unproven.words("")+"; readings may be "+recorded(a.MaxGap)+" apart")
	t.Add("within", g.Within.inAll())
	return t
}

func (g climateGroupAnswer) stretches(zone *time.Location) show.Table {
	t := show.Table{Head: []string{"from", "to", "how long", "was", "why", "inside"}, Right: []int{2},
		Empty: "It was never outside of the limits."}
	for _, s := range g.Pieces {
		was := s.Finding
		if s.Finding == air.Outside.String() {
			was = strings.ToUpper(was)
		}
		t.Add(s.From.In(zone), s.To.In(zone), s.To.Sub(s.From).String(), was, s.Why, strings.Join(s.Inside, ", "))
	}
	return t
}

func (g climateGroupAnswer) stock(zone *time.Location) show.Table {
	t := show.Table{Head: []string{"bundle", "lot", "class", "package", "there from", "to", "outside", "no proof"}, Right: []int{6, 7},
		Note: "QA decides whether what was outside still has its shelf life: ovenward lot hold LOT --why \"store climate\""}
	for _, k := range g.Stock {
		to := ""
		if k.To != 0 {
			to = k.To.In(zone)
		}
		t.Add(k.Bundle, k.Lot, k.Class, string(k.Package), k.From.In(zone), to, k.Outside, k.Unproven)
	}
	if g.Outside.Times == 0 {
		t.Note = ""
	}
	return t
}
