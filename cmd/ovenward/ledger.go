package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/show"
)

func newLedgerCommand(e *env) *cli.Command {
	return group("ledger", "the facts themselves: list, correct, verify, export, load", forQA,
		newLedgerListCommand(e), newLedgerCorrectCommand(e), newLedgerVerifyCommand(e), newLedgerStatusCommand(e), newLedgerReplayCommand(e),
		newLedgerExportCommand(e), newLedgerLoadCommand(e), newLedgerRebuildCommand(e))
}

func newLedgerVerifyCommand(e *env) *cli.Command {
	return &cli.Command{
		Name: "verify", Usage: "check the chain of facts, and that everything stored follows from them",
		Description: `Names the first bad fact if there is one. It cannot notice a ledger that was
rewritten whole or cut at its end: compare its last hash with one kept elsewhere.`,
		Action: func(c *cli.Context) error { return runLedgerVerify(c.Context, e) },
	}
}

// errDiffers ends a verification that found differences; they were printed.
var errDiffers = errors.New("what is stored does not follow from the facts")

func runLedgerVerify(ctx context.Context, e *env) error {
	p, err := e.screen(ctx, "")
	if err != nil {
		return err
	}
	v, err := p.app.Verify(ctx)
	if err != nil {
		return err
	}
	changed, days, err := p.app.CheckDays(ctx)
	if err != nil {
		return err
	}
	differences := some(v.Differences)
	for _, c := range changed {
		if c.Late() > 0 {
			e.warn("sensor %s, %s: %d readings came after the day was closed", c.Sensor, c.Day, c.Late())
			continue
		}
		differences = append(differences, fmt.Sprintf("readings of sensor %s on %s: %d when the day was closed, %d now, and not the same",
			c.Sensor, c.Day, c.Then, c.Now))
	}
	t := show.Table{Title: fmt.Sprintf("site %s: %d facts, chain unbroken, last hash %s", p.app.Site, v.Head.Seq, v.Head.Hash),
		Head:  []string{"difference"},
		Empty: fmt.Sprintf("%d rows were rebuilt from the facts and %d closed days of readings compared: all alike.", v.Rows, days)}
	for _, d := range differences {
		t.Add(d)
	}
	if err := p.Answer(map[string]any{"site": p.app.Site, "facts": v.Head.Seq, "hash": v.Head.Hash, "rows": v.Rows, "days": days,
		"differences": differences}, t); err != nil {
		return err
	}
	if len(differences) > 0 {
		return errDiffers
	}
	return nil
}

func newLedgerListCommand(e *env) *cli.Command {
	var last int
	return &cli.Command{
		Name: "list", Usage: "the newest facts, with their ids",
		Flags: []cli.Flag{&cli.IntFlag{Name: "last", Usage: "`NUMBER` of facts", Destination: &last, Value: 20}},
		Action: func(c *cli.Context) error {
			const most = 10_000
			if last < 1 || last > most {
				return usagef("--last %d: 1 to %d", last, most)
			}
			return runLedgerList(c.Context, e, last)
		},
	}
}

func runLedgerList(ctx context.Context, e *env, last int) error {
	p, err := e.screen(ctx, "")
	if err != nil {
		return err
	}
	facts, err := p.app.Facts(ctx, last)
	if err != nil {
		return err
	}
	t := show.Table{Head: []string{"no", "happened", "entered", "by", "kind", "what", "id"}, Right: []int{0}, Spare: []int{2},
		Empty: "No facts yet: ovenward setup --zone ZONE"}
	for _, f := range facts {
		what := brief(f.Body)
		if f.Supersedes != "" {
			what += " (corrects " + f.Supersedes + ": " + f.Reason + ")"
		}
		entered := until(f.Noted, p.zone, f.At)
		if late, ok := f.Late(); ok {
			entered += ", late " + left(late)
		}
		t.Add(fmt.Sprint(f.Seq), when(f.At, p.zone), entered, f.By, f.Kind, what, f.ID)
	}
	return p.Answer(some(facts), t)
}

// brief is the beginning of a body that a person can recognise a fact by.
func brief(body string) string {
	var m map[string]any
	if json.Unmarshal([]byte(body), &m) != nil {
		return ""
	}
	var parts []string
	for _, name := range []string{"person", "roles", "lot", "slip", "bundle", "bundles", "place", "sensor", "id", "rules", "zone", "pieces", "unused", "into", "as", "welder"} {
		if v, ok := m[name]; ok {
			parts = append(parts, fmt.Sprintf("%s %v", name, v))
		}
	}
	return strings.Join(parts, ", ")
}

func newLedgerExportCommand(e *env) *cli.Command {
	var after int64
	return &cli.Command{
		Name: "export", Usage: "write a site's facts as JSON lines", ArgsUsage: "[FILE]",
		Flags: []cli.Flag{&cli.Int64Flag{Name: "after", Usage: "only the facts behind this `NUMBER`", Destination: &after}},
		Action: func(c *cli.Context) error {
			return runLedgerExport(c.Context, e, c.Args().First(), after)
		},
	}
}

// runLedgerExport writes to standard output, or to a file that must not exist:
// an export never replaces another.
func runLedgerExport(ctx context.Context, e *env, name string, after int64) (err error) {
	a, err := e.open(ctx)
	if err != nil {
		return err
	}
	var w io.Writer = e.out
	if name != "" && name != "-" {
		f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
		if err != nil {
			return err
		}
		defer func() { err = errors.Join(err, f.Close()) }()
		w = f
	}
	n, err := a.Export(ctx, w, after)
	if err != nil {
		return err
	}
	fmt.Fprintf(e.errs, "%d facts of site %s\n", n, a.Site)
	return nil
}

func newLedgerLoadCommand(e *env) *cli.Command {
	var dry bool
	return &cli.Command{
		Name: "load", Usage: "append the facts of an export, from where the site left off", ArgsUsage: "FILE",
		Flags: []cli.Flag{&cli.BoolFlag{Name: "dry-run", Usage: "check the file and write nothing", Destination: &dry}},
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 {
				return usagef("ledger load takes one file, or - for standard input")
			}
			return runLedgerLoad(c.Context, e, c.Args().First(), dry)
		},
	}
}

func runLedgerLoad(ctx context.Context, e *env, name string, dry bool) error {
	e.founds = true // the site may be new here
	a, err := e.open(ctx)
	if err != nil {
		return err
	}
	in, done, err := e.input(name)
	if err != nil {
		return err
	}
	defer done()
	p, err := e.printer()
	if err != nil {
		return err
	}
	load, did := a.Load, "LOADED "
	if dry {
		load, did = a.TryLoad, "CHECKED"
	}
	n, err := load(ctx, in)
	if err != nil {
		return err
	}
	if dry {
		e.ranDry()
	}
	if p.Format != show.AsTable {
		t := show.Table{Head: []string{"site", "loaded"}}
		t.Add(a.Site, fmt.Sprint(n))
		ans := map[string]any{"site": a.Site, "loaded": n}
		if dry {
			ans["dry_run"] = true
		}
		return p.Answer(ans, t)
	}
	return p.Line("%s  %d new facts of site %s", did, n, a.Site)
}

func newLedgerRebuildCommand(e *env) *cli.Command {
	return &cli.Command{
		Name: "rebuild", Usage: "drop everything that follows from the facts and build it again",
		Action: func(c *cli.Context) error {
			a, err := e.open(c.Context)
			if err != nil {
				return err
			}
			if err := a.Rebuild(c.Context); err != nil {
				return err
			}
			return runLedgerVerify(c.Context, e)
		},
	}
}
