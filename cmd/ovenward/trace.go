package main

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
)

func newTraceCommand(e *env) *cli.Command {
	return &cli.Command{
		Name:      "trace",
		Category:  forQA,
		Usage:     "from lot to joints and from joint to lot, with what is not known",
		ArgsUsage: "LOT|BUNDLE|SLIP|JOINT",
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 {
				return usagef("trace takes one lot, bundle, slip or joint")
			}
			return runTrace(c.Context, e, c.Args().First())
		},
	}
}

// traceAnswer is a trace for a program.
type traceAnswer struct {
	Of      string         `json:"of"`
	Code    string         `json:"code"`
	Closed  bool           `json:"closed"` // nothing is left open
	Lots    []tracedLot    `json:"lots"`
	Bundles []tracedBundle `json:"bundles"`
	Blends  []tracedBlend  `json:"blends,omitempty"`
	Slips   []tracedSlip   `json:"slips"`
	Joints  []string       `json:"joints"`
	Losses  []stockdb.Loss `json:"losses,omitempty"`
	Unknown []string       `json:"unknown"`
	Doubts  []app.Mark     `json:"doubts,omitempty"` // bundles and slips judged by a sensor that was found wrong

	Seen []stockdb.Remark `json:"seen,omitempty"` // of the rods, oldest first
}

type tracedLot struct {
	Lot         string `json:"lot"`
	Class       string `json:"class"`
	Size        string `json:"size"`
	Maker       string `json:"maker,omitempty"`
	Certificate string `json:"certificate,omitempty"`
	Status      string `json:"status"`
}

type tracedBundle struct {
	Bundle string          `json:"bundle"`
	Place  string          `json:"place"`
	Left   int64           `json:"left"`
	Mass   string          `json:"left_mass,omitempty"` // of wire and flux
	Slip   string          `json:"slip,omitempty"`
	Since  measure.Instant `json:"since_us"`
	Doubt  bool            `json:"in_doubt,omitempty"`
}

// tracedBlend is flux of one bundle that went into a blend.
type tracedBlend struct {
	From     string          `json:"from_bundle"`
	FromLot  string          `json:"from_lot"`
	Mass     string          `json:"mass"`
	Recycled string          `json:"recycled"`
	Bundle   string          `json:"into_bundle"`
	Lot      string          `json:"into_lot"`
	At       measure.Instant `json:"at_us"`
}

type tracedSlip struct {
	Slip       string          `json:"slip"`
	Welder     string          `json:"welder"`
	Issued     int64           `json:"issued"`
	IssuedMass string          `json:"issued_mass,omitempty"` // of wire and flux, as the next two
	UnusedMass string          `json:"unused_mass,omitempty"`
	UsedMass   string          `json:"used_mass,omitempty"`
	Unused     int64           `json:"unused"`
	Used       int64           `json:"used"`
	Stubs      int64           `json:"stubs"`
	Joints     []string        `json:"joints"`
	From       []string        `json:"from"`
	Out        measure.Instant `json:"out_us"`
	Back       measure.Instant `json:"back_us,omitempty"`
	ExposedOut string          `json:"exposed_when_issued"`
	ExposedEnd string          `json:"exposed_at_return"`
	Limit      string          `json:"limit"`
	Bakes      int64           `json:"bakes"`
	Rule       string          `json:"rule"`
	Doubt      bool            `json:"in_doubt,omitempty"`
}

func runTrace(ctx context.Context, e *env, code string) error {
	p, err := e.screen(ctx, "")
	if err != nil {
		return err
	}
	t, err := p.app.Trace(ctx, code)
	if err != nil {
		return err
	}
	ans := traced(t)
	if p.Format == show.AsCSV {
		return p.Answer(ans, ans.slipRows(p.zone))
	}
	tables := []show.Table{ans.lotTable(), ans.bundleTable(p.zone), ans.slipTable(p.zone)}
	if len(ans.Blends) > 0 {
		tables = slices.Insert(tables, 2, ans.blendTable(p.zone))
	}
	if len(ans.Seen) > 0 {
		tables = append(tables, seenTable(ans.Seen, p.zone))
	}
	if err := p.Answer(ans, tables...); err != nil {
		return err
	}
	return ans.conclude(p.Printer)
}

func traced(t app.Trace) traceAnswer {
	ans := traceAnswer{Of: t.Of, Code: t.Code, Closed: len(t.Unknown) == 0, Losses: t.Losses, Unknown: some(t.Unknown), Doubts: t.Doubts, Seen: t.Remarks,
		Lots: []tracedLot{}, Bundles: []tracedBundle{}, Slips: []tracedSlip{}, Joints: []string{}}
	for _, l := range t.Lots {
		cert := strings.TrimSpace(l.Certificate + " " + l.CertificateKind)
		ans.Lots = append(ans.Lots, tracedLot{l.Code, l.Mark.Canonical, l.Size, l.Maker, cert, string(l.Status)})
	}
	for _, b := range t.Bundles {
		ans.Bundles = append(ans.Bundles, tracedBundle{b.Code, b.Place.Name, b.Pieces, massOf(b.Mass), b.Slip, b.Born, t.Doubted(b.Code)})
	}
	for _, b := range t.Blends {
		ans.Blends = append(ans.Blends, tracedBlend{b.Input, b.InputLot, b.Mass.String(), b.Recycled.String(), b.Bundle, b.Lot, b.At})
	}
	seen := map[string]bool{}
	for _, s := range t.Slips {
		line := tracedLine(s)
		line.Doubt = t.Doubted(s.Slip.Code)
		ans.Slips = append(ans.Slips, line)
		for _, j := range s.Slip.Joints {
			if !seen[j] {
				ans.Joints = append(ans.Joints, j)
			}
			seen[j] = true
		}
	}
	return ans
}

func tracedLine(s app.TracedSlip) tracedSlip {
	out := tracedSlip{Slip: s.Slip.Code, Welder: s.Slip.Welder, Issued: s.Slip.Pieces, Unused: s.Slip.Back.Unused,
		Stubs: s.Slip.Back.Stubs, Joints: some(s.Slip.Joints), From: some(s.Came), Out: s.Slip.At, Back: s.Slip.Closed,
		ExposedOut: s.WentOut.Most.String(), ExposedEnd: s.WentBack.Most.String(), Limit: s.WentBack.Limit.String(),
		Bakes: s.WentOut.Bakes, Rule: s.WentBack.Ruling.Name()}
	if s.Slip.Closed != 0 {
		out.Used = s.Slip.Back.Used(s.Slip.Pieces)
	}
	if s.Slip.Mass != 0 {
		out.IssuedMass, out.UnusedMass = s.Slip.Mass.String(), s.Slip.Back.UnusedMass.String()
		if s.Slip.Closed != 0 {
			out.UsedMass = (s.Slip.Mass - s.Slip.Back.UnusedMass).String()
		}
	}
	return out
}

// massOf prints a mass, nothing for that of counted stock.
func massOf(m measure.Mass) string {
	if m == 0 {
		return ""
	}
	return m.String()
}

// amounts are what went out, what was used and what came back: rods, or a mass
// of wire or flux.
func (s tracedSlip) amounts() (issued, used, unused string) {
	if s.IssuedMass != "" {
		return s.IssuedMass, s.UsedMass, s.UnusedMass
	}
	return fmt.Sprint(s.Issued), fmt.Sprint(s.Used), fmt.Sprint(s.Unused)
}

func (a traceAnswer) lotTable() show.Table {
	t := show.Table{Title: strings.ToUpper(a.Of) + " " + a.Code, Head: []string{"lot", "class", "size", "maker", "certificate", "status"}}
	for _, l := range a.Lots {
		t.Add(l.Lot, l.Class, l.Size, l.Maker, l.Certificate, l.Status)
	}
	return t
}

func (a traceAnswer) bundleTable(zone *time.Location) show.Table {
	t := show.Table{Title: "bundles", Head: []string{"bundle", "since", "in", "left"}, Right: []int{3}, Empty: "none of their own"}
	for _, b := range a.Bundles {
		place := b.Place
		if b.Slip != "" {
			place = "out on slip " + b.Slip
			if b.Left == 0 && b.Mass == "" {
				place = "was out on slip " + b.Slip
			}
		}
		t.Add(b.Bundle, when(b.Since, zone), place+inDoubt(b.Doubt), cmp.Or(b.Mass, fmt.Sprint(b.Left)))
	}
	return t
}

// blendTable is what flux was blended of: how much of which lot went where.
func (a traceAnswer) blendTable(zone *time.Location) show.Table {
	t := show.Table{Title: "blends", Right: []int{3, 4}, Head: []string{"at", "from lot", "from bundle", "mass", "of it recycled", "into lot", "into bundle"}}
	for _, b := range a.Blends {
		t.Add(when(b.At, zone), b.FromLot, b.From, b.Mass, b.Recycled, b.Lot, b.Bundle)
	}
	return t
}

func (a traceAnswer) slipTable(zone *time.Location) show.Table {
	t := show.Table{Title: "slips", Empty: "no slip: nothing went out", Right: []int{2, 3, 4, 5}, Spare: []int{11, 13, 12, 10},
		Head: []string{"slip", "welder", "issued", "used", "unused", "stubs", "joints", "out", "back", "exposed out / back", "limit", "baked", "came from", "rule"}}
	for _, s := range a.Slips {
		back := "still out"
		if s.Back != 0 {
			back = until(s.Back, zone, s.Out)
		}
		joints := strings.Join(s.Joints, " ")
		if joints == "" {
			joints = "none named"
		}
		issued, used, unused := s.amounts()
		t.Add(s.Slip, s.Welder, issued, used, unused, fmt.Sprint(s.Stubs), joints,
			when(s.Out, zone), back, s.ExposedOut+" / "+s.ExposedEnd+inDoubt(s.Doubt), s.Limit, fmt.Sprint(s.Bakes), strings.Join(s.From, " > "), s.Rule)
	}
	return t
}

// inDoubt marks what was judged by a sensor that was found wrong.
func inDoubt(doubted bool) string {
	if doubted {
		return ", READING IN DOUBT"
	}
	return ""
}

// slipRows is every slip for a spreadsheet, with whole dates.
func (a traceAnswer) slipRows(zone *time.Location) show.Table {
	t := show.Table{Head: []string{"slip", "welder", "issued", "used", "unused", "stubs", "joints", "out", "back", "exposed when issued",
		"exposed at return", "limit", "baked", "came from", "rule"}}
	for _, s := range a.Slips {
		issued, used, unused := s.amounts()
		t.Add(s.Slip, s.Welder, issued, used, unused, fmt.Sprint(s.Stubs),
			strings.Join(s.Joints, " "), when(s.Out, zone), when(s.Back, zone), s.ExposedOut, s.ExposedEnd, s.Limit, fmt.Sprint(s.Bakes),
			strings.Join(s.From, " > "), s.Rule)
	}
	return t
}

// conclude says what the trace covers and what it leaves open.
func (a traceAnswer) conclude(p *show.Printer) error {
	if err := p.Line("\njoints: %s", orNone(a.Joints)); err != nil {
		return err
	}
	for _, l := range a.Losses {
		if err := p.Line("%s %s: %s", l.Kind, l.Bundle, lost(l)); err != nil {
			return err
		}
	}
	if a.Closed {
		return p.Line("The trace is closed: all of it is accounted for.")
	}
	if err := p.Line("NOT CLOSED, not known:"); err != nil {
		return err
	}
	for _, u := range a.Unknown {
		if err := sentence(p, "  ", u); err != nil {
			return err
		}
	}
	return nil
}

// lost is how much was lost or written off, and why where that was said.
func lost(l stockdb.Loss) string {
	amount := inventory.Rods(l.Pieces)
	if l.Pieces == 0 && l.Mass != 0 {
		amount = l.Mass.String()
	}
	if l.Reason == "" {
		return amount
	}
	return amount + " (" + l.Reason + ")"
}

func orNone(names []string) string {
	if len(names) == 0 {
		return "none named"
	}
	return strings.Join(names, ", ")
}
