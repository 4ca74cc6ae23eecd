package main

import (
	"context"
	"fmt"
	"io"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
	"ovenward/forecast/joint"
	"ovenward/forecast/terms"
)

func newBuyPolicyCommand(e *env) *cli.Command {
	return group("policy", "how the shop buys: suppliers, packs, prices, sizes of orders, what is on order", "",
		newBuyTemplateCommand(e), newBuyLoadCommand(e), newBuyShowCommand(e))
}

func newBuyTemplateCommand(e *env) *cli.Command {
	return &cli.Command{
		Name: "template", Usage: "print an example file to change and load",
		Action: func(c *cli.Context) error {
			if c.NArg() > 0 {
				return usagef("buy policy template takes no arguments, got %q", c.Args().First())
			}
			_, err := io.WriteString(e.out, terms.Template())
			return err
		},
	}
}

func newBuyLoadCommand(e *env) *cli.Command {
	var dryRun bool
	return &cli.Command{
		Name: "load", Usage: "make a file what the buyer sets; the one before it is kept as a revision", ArgsUsage: "FILE",
		Description: `The file is taken whole or not at all: every row and key that is wrong is named.
FILE - is standard input.`,
		Flags: []cli.Flag{&cli.BoolFlag{Name: "dry-run", Destination: &dryRun, Usage: "say what would happen and write nothing"}},
		Action: func(c *cli.Context) error {
			return runBuyLoad(c.Context, e, c.Args().Slice(), dryRun)
		},
	}
}

func runBuyLoad(ctx context.Context, e *env, args []string, dryRun bool) error {
	p, err := e.printer()
	if err != nil {
		return err
	}
	file, err := e.readPlanFile(args)
	if err != nil {
		return err
	}
	a, err := e.open(ctx)
	if err != nil {
		return err
	}
	done, err := a.LoadBuying(ctx, app.PlanLoad{By: e.by, Name: file.name, File: file.text, DryRun: dryRun})
	if err != nil {
		return err
	}
	ans := loadedPolicy{policyAnswer: newPolicy(done), Items: len(done.Terms.Items), Suppliers: len(done.Terms.Suppliers),
		OnOrder: len(done.Terms.Expected), Repeated: done.Repeat, DryRun: dryRun}
	t := show.Table{Title: "LOADED", Note: "next: ovenward buy", Right: []int{0, 2, 3, 4}, Head: []string{"revision", "file", "suppliers", "items", "on order"}}
	switch {
	case done.Repeat:
		t.Title = "KNOWN"
		fmt.Fprintln(e.errs, "the file holds already; nothing was written twice")
	case dryRun:
		t.Title, t.Note = "WOULD BE LOADED, if this were no dry run", ""
		e.ranDry()
	}
	t.Add(fmt.Sprint(ans.Revision), ans.File, fmt.Sprint(ans.Suppliers), fmt.Sprint(ans.Items), fmt.Sprint(ans.OnOrder))
	return p.Answer(ans, t)
}

// loadedPolicy is a file that was loaded, for a program.
type loadedPolicy struct {
	policyAnswer
	Suppliers int  `json:"suppliers"`
	Items     int  `json:"items"`
	OnOrder   int  `json:"on_order"`
	Repeated  bool `json:"repeated,omitempty"`
	DryRun    bool `json:"dry_run,omitempty"`
}

func newPolicy(b app.Buying) policyAnswer {
	r := b.Revision
	return policyAnswer{Revision: r.Number, File: r.Name, Loaded: r.Loaded, By: r.By}
}

func newBuyShowCommand(e *env) *cli.Command {
	var file bool
	return &cli.Command{
		Name: "show", Usage: "what the buyer has set",
		Flags: []cli.Flag{&cli.BoolFlag{Name: "file", Destination: &file, Usage: "print the file as it was loaded, to change it"}},
		Action: func(c *cli.Context) error {
			if c.NArg() > 0 {
				return usagef("buy policy show takes no arguments, got %q", c.Args().First())
			}
			return runBuyShow(c.Context, e, file)
		},
	}
}

func runBuyShow(ctx context.Context, e *env, file bool) error {
	p, err := e.screen(ctx, "")
	if err != nil {
		return err
	}
	b, err := p.app.Buying(ctx)
	if err != nil {
		return err
	}
	if file {
		_, err = e.out.Write(b.Revision.File)
		return err
	}
	ans := shownPolicy{policyAnswer: newPolicy(b), Items: []shownItem{}}
	t := show.Table{Title: "NOTHING IS SET", Head: []string{"item", "supplier", "lead", "policy", "service"}, Empty: "load a file: ovenward buy policy load FILE; ovenward buy policy template shows what it looks like"}
	if ans.Revision > 0 {
		t.Title = fmt.Sprintf("POLICY revision %d: %s, loaded %s by %s", ans.Revision, ans.File, when(ans.Loaded, p.zone), ans.By)
	}
	for _, i := range b.Terms.Items {
		s := shownItem{Class: i.Class, Diameter: i.Diameter.Millimetres(), Supplier: i.Supplier.Name, LeadDays: i.Policy.LeadDays,
			Release: i.Policy.ReleaseDays, Policy: string(i.Policy.Method), Service: rounded(i.Policy.Service)}
		ans.Items = append(ans.Items, s)
		t.Add(i.Class+" "+joint.SizeText(i.Diameter), s.Supplier, fmt.Sprintf("%d + %d d", s.LeadDays, s.Release), s.Policy, fmt.Sprintf("%g %%", rounded(100*s.Service)))
	}
	return p.Answer(ans, t)
}

// shownPolicy is what the buyer has set, for a program.
type shownPolicy struct {
	policyAnswer
	Items []shownItem `json:"items"`
}

type shownItem struct {
	Class    string  `json:"class"`
	Diameter float64 `json:"diameter_mm"`
	Supplier string  `json:"supplier,omitempty"`
	LeadDays int     `json:"lead_days"`
	Release  int     `json:"release_days"`
	Policy   string  `json:"policy"`
	Service  float64 `json:"service"`
}
