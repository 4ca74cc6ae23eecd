package main

import (
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
)

// issueOptions are the options of "ovenward issue".
type issueOptions struct {
	writeOptions
	Class, Size, Pieces, Mass string
	Welder, Holder, Job, Slip string
	Stage                     string
	Joints                    cli.StringSlice
	Cold                      bool
}

func newIssueCommand(e *env) *cli.Command {
	var o issueOptions
	return &cli.Command{
		Name:      "issue",
		Category:  atTheWindow,
		Usage:     "hand rods out to a welder and print the slip",
		ArgsUsage: "[BUNDLE]",
		Description: `Scan or type the bundle's code, or give --class and --size and the program
proposes one: returned or re-baked rods first, then what expires first, then
what was received first. A joint that is set up with one class and size is enough.

   ovenward issue B0001-K --pieces 40 --welder W3 --joint J-101
   ovenward issue --class E7018 --size "1/8 in" --pieces 40 --welder W3`,
		Flags: append(o.actFlags(),
			&cli.StringFlag{Name: "pieces", Aliases: []string{"n"}, Usage: "`NUMBER` of rods", Destination: &o.Pieces},
			&cli.StringFlag{Name: "mass", Usage: "`MASS` of wire or flux, such as 15 kg", Destination: &o.Mass},
			&cli.StringFlag{Name: "welder", Aliases: []string{"w"}, Usage: "`BADGE` or stamp of the welder", Destination: &o.Welder},
			&cli.StringFlag{Name: "class", Usage: "`CLASS` asked for, such as E7018", Destination: &o.Class},
			&cli.StringFlag{Name: "size", Usage: "`DIAMETER` asked for, such as 1/8 in", Destination: &o.Size},
			&cli.StringSliceFlag{Name: "joint", Aliases: []string{"j"}, Usage: "`JOINT` the rods are for; may be given again", Destination: &o.Joints},
			&cli.StringFlag{Name: "job", Usage: "`JOB`, where it has a rule set of its own", Destination: &o.Job},
			&cli.StringFlag{Name: "stage", Usage: "`STAGE` of the work, such as erection, by which stubs are counted", Destination: &o.Stage},
			&cli.StringFlag{Name: "holder", Usage: "`QUIVER` the rods go into; open air where left out", Destination: &o.Holder},
			&cli.BoolFlag{Name: "cold", Usage: "a sealed package that came from a place colder than the room", Destination: &o.Cold},
			&cli.StringFlag{Name: "slip", Usage: "`NAME` of the slip; given by the program where left out", Destination: &o.Slip},
		),
		Action: func(c *cli.Context) error {
			if c.NArg() > 1 {
				return usagef("issue takes one bundle, got %s", strings.Join(c.Args().Slice(), " "))
			}
			return runIssue(c.Context, e, o, c.Args().First())
		},
	}
}

func runIssue(ctx context.Context, e *env, o issueOptions, bundle string) error {
	entry := &inventory.Issued{Bundle: bundle, Stage: o.Stage, Class: o.Class, Diameter: o.Size, Mass: o.Mass, Welder: o.Welder,
		Holder: o.Holder, Job: o.Job, Slip: o.Slip, Joints: splitList(o.Joints.Value()), Cold: o.Cold}
	if bundle == "" && o.Class == "" && o.Size == "" && len(entry.Joints) == 0 {
		return usagef("issue takes a bundle, or a class and a size, or a joint that takes one of each: ovenward issue BUNDLE --pieces NUMBER --welder BADGE")
	}
	if err := count(o.Pieces, "pieces", &entry.Pieces); err != nil {
		return err
	}
	done, err := e.record(ctx, o.writeOptions, entry)
	if err != nil {
		return err
	}
	return e.printSlip(ctx, done)
}

// count reads a number of rods given as a flag.
func count(text, field string, into *inventory.Count) error {
	if text == "" {
		return nil
	}
	n, err := inventory.ParseCount(text)
	if err != nil {
		return inventory.FieldRefusal(field, err)
	}
	*into = n
	return nil
}

// slipAnswer is an issue for a program.
type slipAnswer struct {
	Slip       string            `json:"slip"`
	Bundle     string            `json:"bundle"`
	Lot        string            `json:"lot"`
	Class      string            `json:"class"`
	Size       string            `json:"size"`
	Pieces     int64             `json:"pieces,omitempty"`
	Mass       string            `json:"mass,omitempty"`
	Welder     string            `json:"welder"`
	Holder     string            `json:"holder"`
	Joints     []string          `json:"joints"`
	Procedures []string          `json:"procedures,omitempty"`
	Flags      []inventory.Flag  `json:"flags,omitempty"`
	At         measure.Instant   `json:"at_us"`
	Judged     *inventory.Judged `json:"judged"`
	Burn       *burnAnswer       `json:"burn,omitempty"` // the most rods that are of use before they are due
	Repeated   bool              `json:"repeated,omitempty"`
	DryRun     bool              `json:"dry_run,omitempty"` // nothing was written; no rods go out on it
	FactID     string            `json:"fact"`
}

// printSlip prints what goes out with the rods: what they are, until when they
// may be used, and by which rule.
func (e *env) printSlip(ctx context.Context, done app.Done) error {
	p, err := e.screen(ctx, "")
	if err != nil {
		return err
	}
	entry := done.Entry.(*inventory.Issued)
	lot, err := p.app.LotOf(ctx, entry.Bundle)
	if err != nil {
		return err
	}
	ans := slipAnswer{Slip: entry.Slip, Bundle: entry.Bundle, Lot: lot.Code, Class: lot.Mark.Canonical, Size: lot.Size,
		Pieces: int64(entry.Pieces), Mass: entry.Mass, Welder: entry.Welder, Holder: entry.Holder, Joints: some(entry.Joints),
		Procedures: entry.Procedures, Flags: entry.Flags, At: done.Fact.At, Judged: entry.Judged, Repeated: done.Repeat, DryRun: e.dry, FactID: e.acted(done, "", "").Fact}
	burn, known, err := p.app.Burn(ctx, lot, entry, done.Fact.At)
	if err != nil {
		return err
	}
	ans.Burn = newBurn(burn, known)
	if p.Format != show.AsTable {
		return p.Answer(ans, ans.table(p.zone))
	}
	return ans.print(p.Printer, p.zone)
}

func (s slipAnswer) table(zone *time.Location) show.Table {
	t := show.Table{Head: []string{"slip", "bundle", "lot", "class", "size", "amount", "welder", "holder", "joints", "out", "back by", "limit", "rule", "procedure"}}
	t.Add(s.Slip, s.Bundle, s.Lot, s.Class, s.Size, s.amount(), s.Welder, s.Holder, strings.Join(s.Joints, " "), s.At.In(zone), s.backBy(zone),
		s.Judged.Limit, s.Judged.Rules+"/"+s.Judged.Row, strings.Join(s.Procedures, " "))
	return t
}

func (s slipAnswer) amount() string {
	if s.Mass != "" {
		return s.Mass
	}
	return fmt.Sprint(s.Pieces)
}

func (s slipAnswer) backBy(zone *time.Location) string {
	if s.Judged.Due == 0 {
		return ""
	}
	return s.Judged.Due.In(zone)
}

func (s slipAnswer) print(p *show.Printer, zone *time.Location) error {
	amount := inventory.Rods(s.Pieces)
	if s.Mass != "" {
		amount = s.Mass
	}
	lines := [][2]string{
		s.head(),
		{"take", fmt.Sprintf("%s  %s  %s", amount, s.Class, s.Size)},
		{"from", fmt.Sprintf("%s, lot %s", s.Bundle, s.Lot)},
		{"to", fmt.Sprintf("%s, in %s", s.Welder, s.Holder)},
	}
	if s.Judged.Proposed != "" {
		lines[2][1] += " (" + s.Judged.Proposed + ")"
	}
	if len(s.Joints) > 0 {
		lines = append(lines, [2]string{"joints", strings.Join(s.Joints, ", ")})
	}
	if len(s.Procedures) > 0 {
		lines = append(lines, [2]string{"by", "procedure " + strings.Join(s.Procedures, ", ")})
	}
	lines = append(lines, [2]string{"out", when(s.At, zone)})
	lines = append(lines, s.limitLines(zone)...)
	for _, l := range lines {
		if err := p.Line("%-8s %s", l[0], l[1]); err != nil {
			return err
		}
	}
	return p.Line("\n%s", s.caution())
}

// caution is what the welder is told with every slip.
func (s slipAnswer) caution() string {
	if s.Mass != "" {
		return "Keep it covered when it is not in use. What got wet is scrap."
	}
	return "Take out one rod at a time; keep the rest covered. A rod that got wet is scrap."
}

// head names the slip; that of a dry run must not be taken for one.
func (s slipAnswer) head() [2]string {
	if s.DryRun {
		return [2]string{"NO SLIP", "a dry run: nothing goes out on this"}
	}
	return [2]string{"SLIP", s.Slip}
}

func (s slipAnswer) limitLines(zone *time.Location) [][2]string {
	j := s.Judged
	rule := fmt.Sprintf("%s/%s: %s", j.Rules, j.Row, j.Source)
	switch {
	case j.Limit == "":
		return [][2]string{{"BACK BY", "no exposure limit for this class"}, {"rule", rule}}
	case j.Due == 0:
		return [][2]string{{"BACK BY", "no time while the quiver is proven hot"}, {"limit", j.Limit + " h in the open"}, {"rule", rule}}
	}
	limit := j.Limit + " h"
	if j.Most != "0:00" {
		limit += ", " + recorded(j.Most) + " used before"
	}
	lines := [][2]string{{"BACK BY", until(j.Due, zone, s.At)}, {"limit", limit}, {"rule", rule}}
	if s.Burn != nil {
		lines = slices.Insert(lines, 1, [2]string{"enough", s.Burn.line()})
	}
	if j.Longer != "" {
		lines = append(lines, [2]string{"decided", j.Longer})
	}
	return lines
}
