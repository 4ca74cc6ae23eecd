package main

import (
	"context"
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/show"
	"ovenward/inventory"
)

// receiveOptions are the options of "ovenward receive".
type receiveOptions struct {
	writeOptions
	entry    inventory.Received
	pieces   string
	packages int
	practice bool
}

func newReceiveCommand(e *env) *cli.Command {
	var o receiveOptions
	in := &o.entry
	return &cli.Command{
		Name:      "receive",
		Category:  atTheWindow,
		Usage:     "receive packages of a lot; QA releases the lot before it goes out",
		ArgsUsage: "LOT",
		Description: `Each package becomes a bundle with a code of its own.

   ovenward receive 7B21 --class E7018 --size "1/8 in" --length "14 in" \
      --package "hermetic can" --pieces 150 --net "10 lb" --packages 4`,
		Flags: append(o.actFlags(),
			&cli.StringFlag{Name: "class", Usage: "`MARK` on the label, such as E7018-1 H4R", Destination: &in.Class},
			&cli.StringFlag{Name: "spec", Usage: "`SPECIFICATION` where the mark alone is ambiguous, such as A5.1", Destination: &in.Spec},
			&cli.StringFlag{Name: "size", Usage: "`DIAMETER` with its unit, 1/8 in or 3.2 mm", Destination: &in.Diameter},
			&cli.StringFlag{Name: "length", Usage: "rod `LENGTH` with its unit", Destination: &in.Length},
			&cli.StringFlag{Name: "maker", Usage: "`MAKER` of the lot", Destination: &in.Maker},
			&cli.StringFlag{Name: "product", Usage: "`NAME` that the maker gives it; rows of a rule set may speak of one product", Destination: &in.Product},
			&cli.StringFlag{Name: "package", Usage: "`KIND`: hermetic can, vacuum pack, carton, plastic box, sealed spool, bag, drum, loose", Destination: &in.Package},
			&cli.StringFlag{Name: "seal", Usage: "`STATE` of the seal: intact or broken", Destination: &in.Seal},
			&cli.StringFlag{Name: "pieces", Aliases: []string{"n"}, Usage: "`NUMBER` of rods in each package", Destination: &o.pieces},
			&cli.StringFlag{Name: "mass", Usage: "`MASS` of wire or flux in each package", Destination: &in.Mass},
			&cli.StringFlag{Name: "net", Usage: "net `MASS` on the label of each package of rods, for grams a rod", Destination: &in.Net},
			&cli.StringFlag{Name: "price", Usage: "`PRICE` of one rod, or of one kg of wire or flux, such as 0.42 EUR", Destination: &in.Price},
			&cli.StringFlag{Name: "certificate", Usage: "`REFERENCE` of the certificate", Destination: &in.Certificate},
			&cli.StringFlag{Name: "certificate-kind", Usage: "`KIND` of certificate: typical, 2.2, 3.1, 3.2", Destination: &in.CertificateKind},
			&cli.StringFlag{Name: "owner", Usage: "`CUSTOMER` whose it is; the shop's own where left out", Destination: &in.Owner},
			&cli.StringFlag{Name: "lot-class", Usage: "`CLASS` of lot that was ordered, such as C3", Destination: &in.LotClass},
			&cli.StringFlag{Name: "schedule", Usage: "`LEVEL` of testing that was ordered, such as J", Destination: &in.Schedule},
			&cli.StringFlag{Name: "made", Usage: "`DATE` of manufacture, 2025-06-05", Destination: &in.Made},
			&cli.StringFlag{Name: "expires", Usage: "`DATE` on the label after which it is not issued", Destination: &in.Expires},
			&cli.StringFlag{Name: "into", Usage: "`PLACE` it goes; the store where left out", Destination: &in.Into},
			&cli.StringFlag{Name: "bundle", Usage: "`NAME` of the bundle; given by the program where left out", Destination: &in.Bundle},
			&cli.BoolFlag{Name: "practice", Usage: "for practice only: under no exposure control, and for no code job ever", Destination: &o.practice},
			&cli.IntFlag{Name: "packages", Usage: "`NUMBER` of packages alike", Destination: &o.packages, Value: 1},
		),
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 {
				return usagef("receive takes one lot number, got %q", strings.Join(c.Args().Slice(), " "))
			}
			in.Lot = c.Args().First()
			return runReceive(c.Context, e, o)
		},
	}
}

// receivedAnswer is a package that came in, for a program.
type receivedAnswer struct {
	*inventory.Received
	Fact     string `json:"fact,omitempty"`
	Repeated bool   `json:"repeated,omitempty"`
	DryRun   bool   `json:"dry_run,omitempty"`
}

func runReceive(ctx context.Context, e *env, o receiveOptions) error {
	const most = 1000 // more than a truck holds; a slip of the finger beyond
	if o.packages < 1 || o.packages > most {
		return usagef("--packages %d: receive 1 to %d at once", o.packages, most)
	}
	if o.packages > 1 && (o.entry.Bundle != "" || o.ID != "") {
		return usagef("--bundle and --id name one package; leave them out, or receive the packages one by one")
	}
	if err := count(o.pieces, "pieces", &o.entry.Pieces); err != nil {
		return err
	}
	if o.practice {
		o.entry.Use = inventory.Practice
	}
	p, err := e.printer()
	if err != nil {
		return err
	}
	entries := make([]inventory.Entry, o.packages)
	for i := range entries {
		in := o.entry
		entries[i] = &in
	}
	all, err := e.recordAll(ctx, o.writeOptions, entries)
	if err != nil {
		return err
	}
	t := show.Table{Title: "RECEIVED", Head: []string{"bundle", "lot", "class", "size", "amount", "package", "in"},
		Note: fmt.Sprintf("next: QA releases the lot: ovenward lot release %s", o.entry.Lot)}
	if o.practice {
		t.Note = "keep it apart from controlled stock"
	}
	if e.dry {
		t.Title, t.Note = "RECEIVED (dry run)", ""
	}
	answers := make([]receivedAnswer, len(all))
	for i, d := range all {
		r := d.Entry.(*inventory.Received)
		amount := inventory.Rods(int64(r.Pieces))
		if r.Mass != "" {
			amount = r.Mass
		}
		answers[i] = receivedAnswer{r, e.acted(d, "", "").Fact, d.Repeat, e.dry}
		t.Add(r.Bundle, r.Lot, r.Class, r.Diameter, amount, r.Package, r.Into)
	}
	return p.Answer(answers, t)
}
