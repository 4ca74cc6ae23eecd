package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/show"
	"ovenward/inventory/sheet"
)

// buyOptions are the options of "ovenward buy".
type buyOptions struct {
	forecastOptions
	csv  bool
	xlsx string
}

func newBuyCommand(e *env) *cli.Command {
	var o buyOptions
	return &cli.Command{
		Name:     "buy",
		Category: forBuying,
		Usage:    "what to order for the plan, until when, and what to ask for",
		Description: `Sets the planned joints against the stock that may go out for their jobs and
against what is on order, and proposes orders by what the buyer has set: lead
times, packs, prices, the size of orders. What should have been ordered already
comes first. Nothing is ordered by it.

   ovenward buy policy template > buying.toml
   ovenward buy policy load buying.toml
   ovenward buy
   ovenward buy --xlsx orders.xlsx

Rods are ordered by number, wire and flux by mass; shielding gas is not planned.

Stock that QA holds, that is out of date or whose papers are not those that a
job asks for does not count, and is listed with the reason.`,
		Flags: []cli.Flag{
			&cli.IntFlag{Name: "weeks", Destination: &o.weeks, Usage: "`NUMBER` of weeks of the plan; all of it where left out"},
			&cli.StringFlag{Name: "repair", Destination: &o.repair, Usage: "`PART` of the metal that is welded again, such as 2 %"},
			&cli.StringFlag{Name: "handling", Destination: &o.handling, Usage: "`PART` of the rods that is lost or scrapped, such as 5 %"},
			&cli.StringFlag{Name: "at", Destination: &o.at, Usage: "stock as judged, and orders counted from, a `TIME`; now where left out"},
			&cli.BoolFlag{Name: "csv", Destination: &o.csv, Usage: "the same as --format csv"},
			&cli.StringFlag{Name: "xlsx", Destination: &o.xlsx, Usage: "write a workbook to `FILE` as well; - is standard output, and nothing else is printed"},
		},
		Subcommands: []*cli.Command{newBuyPolicyCommand(e)},
		Action: func(c *cli.Context) error {
			if c.NArg() > 0 {
				return usagef("buy has no command %q", c.Args().First())
			}
			if c.IsSet("weeks") && (o.weeks < 1 || o.weeks > mostWeeks) {
				return usagef("--weeks %d: give 1 to %d", o.weeks, mostWeeks)
			}
			return runBuy(c.Context, e, o)
		},
	}
}

func runBuy(ctx context.Context, e *env, o buyOptions) error {
	if o.csv {
		e.format = string(show.AsCSV)
	}
	p, q, err := o.open(ctx, e)
	if err != nil {
		return err
	}
	found, err := p.app.Buy(ctx, q)
	if err != nil {
		return err
	}
	ans := newBuyAnswer(found)
	e.warned = e.warned || ans.missing() != ""
	if p.Format != show.AsTable && ans.missing() != "" {
		e.warn("%s", ans.missing())
	}
	if o.xlsx == "-" {
		return sheet.WriteXLSX(e.out, ans.pages()...)
	}
	if o.xlsx != "" {
		if err := writeWorkbook(o.xlsx, ans.pages()); err != nil {
			return err
		}
		fmt.Fprintf(e.errs, "%s: %s\n", o.xlsx, counted(len(ans.Orders), "order", "orders"))
	}
	return ans.print(p.Printer)
}

// writeTemplate writes a template as a workbook; "-" is standard output.
func (e *env) writeTemplate(name, of, text string) error {
	page, err := sheet.PageOf(of, text)
	if err != nil {
		return err
	}
	if name == "-" {
		return sheet.WriteXLSX(e.out, page)
	}
	return writeWorkbook(name, []sheet.Page{page})
}

// writeWorkbook writes a workbook beside its place and moves it there whole, so
// that a file which is open or half written is never left.
func writeWorkbook(name string, pages []sheet.Page) error {
	f, err := os.CreateTemp(filepath.Dir(name), ".ovenward-*.xlsx")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name())
	err = sheet.WriteXLSX(f, pages...)
	if e := f.Close(); err == nil {
		err = e
	}
	if err == nil {
		err = os.Chmod(f.Name(), 0o644)
	}
	if err == nil {
		err = os.Rename(f.Name(), name)
	}
	return err
}
