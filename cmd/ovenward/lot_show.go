package main

import (
	"cmp"
	"context"
	"strings"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
	"ovenward/storage/rules"
)

func newLotShowCommand(e *env) *cli.Command {
	return &cli.Command{
		Name: "show", Usage: "what a lot is, until when it is good and why, and what is left of it", ArgsUsage: "LOT",
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 {
				return usagef("lot show takes one lot; see what is here with: ovenward stock")
			}
			return runLotShow(c.Context, e, c.Args().First())
		},
	}
}

// lotAnswer is a lot with what is in the crib of it.
type lotAnswer struct {
	Lot             string       `json:"lot"`
	Class           string       `json:"class"`
	Size            string       `json:"size,omitempty"`
	Maker           string       `json:"maker,omitempty"`
	Product         string       `json:"product,omitempty"`
	Status          string       `json:"status"`
	Reason          string       `json:"reason,omitempty"`
	Certificate     string       `json:"certificate,omitempty"`
	CertificateKind string       `json:"certificate_kind,omitempty"`
	Made            measure.Date `json:"made,omitempty"`
	Label           measure.Date `json:"label_last_day,omitempty"`
	Extended        measure.Date `json:"extended_until,omitempty"`
	Extension       string       `json:"extension_test,omitempty"`
	Inputs          []string     `json:"blended_of,omitempty"`
	Bundles         []lotBundle  `json:"bundles"`

	Seen []stockdb.Remark `json:"seen,omitempty"` // of its rods, oldest first
}

// lotBundle is one of its bundles, with its last day.
type lotBundle struct {
	Bundle  string       `json:"bundle"`
	Pieces  int64        `json:"pieces,omitempty"`
	Mass    string       `json:"mass,omitempty"`
	Package string       `json:"package"`
	Place   string       `json:"place"`
	LastDay measure.Date `json:"last_day,omitempty"`
	Expired bool         `json:"expired"`
	By      string       `json:"by,omitempty"`
}

func runLotShow(ctx context.Context, e *env, code string) error {
	p, err := e.screen(ctx, "")
	if err != nil {
		return err
	}
	l, err := p.app.LotOfName(ctx, code)
	if err != nil {
		return err
	}
	a := newLotAnswer(l)
	t := show.Table{Title: "\nin the crib", Head: []string{"bundle", "amount", "package", "in", "last day", "by"}, Right: []int{1},
		Empty: "nothing of it is in the crib"}
	for _, b := range a.Bundles {
		last := string(b.LastDay)
		if b.Expired {
			last = "EXPIRED " + last
		}
		t.Add(b.Bundle, cmp.Or(b.Mass, inventory.Rods(b.Pieces)), b.Package, b.Place, cmp.Or(last, "none known"), b.By)
	}
	if p.Format == show.AsTable {
		if err := a.head(p.Printer); err != nil {
			return err
		}
	}
	tables := []show.Table{t}
	if len(a.Seen) > 0 {
		tables = append(tables, seenTable(a.Seen, p.zone))
	}
	return p.Answer(a, tables...)
}

func newLotAnswer(l app.LotLook) lotAnswer {
	lot := l.Lot
	a := lotAnswer{Lot: lot.Code, Class: lot.Mark.Canonical, Size: lot.Size, Maker: lot.Maker, Product: lot.Product, Status: string(lot.Status),
		Reason: lot.Reason, Certificate: lot.Certificate, CertificateKind: lot.CertificateKind, Made: lot.Made, Label: lot.Expires,
		Extended: lot.Extended, Extension: lot.Extension, Bundles: []lotBundle{}, Seen: l.Remarks}
	for _, in := range l.Inputs {
		a.Inputs = append(a.Inputs, in.Mass.String()+" of lot "+in.InputLot)
	}
	for _, b := range l.Bundles {
		a.Bundles = append(a.Bundles, lotBundle{Bundle: b.Bundle.Code, Pieces: b.Bundle.Pieces, Mass: massOf(b.Bundle.Mass),
			Package: string(b.Bundle.Package), Place: b.Bundle.Place.Name, LastDay: b.Expiry.Last, Expired: b.Expired, By: decidedBy(b.Expiry, l.Set)})
	}
	return a
}

// decidedBy says what a last day is by: the label, a row of the rule set, or QA.
func decidedBy(e rules.Expiry, set string) string {
	switch {
	case e.Last == "":
		return ""
	case e.Row != nil:
		return set + "/" + e.Row.Row
	case e.Extended:
		return "QA, before it was " + string(e.Before)
	}
	return "the label"
}

// head prints what the lot is, a line for each thing that is known.
func (a lotAnswer) head(p *show.Printer) error {
	status := a.Status
	if a.Reason != "" {
		status += ": " + a.Reason
	}
	extended := string(a.Extended)
	if extended != "" {
		extended = "until " + extended + ", by test " + a.Extension
	}
	if err := p.Line("LOT      %s", a.Lot); err != nil {
		return err
	}
	for _, l := range []struct{ name, value string }{
		{"class", strings.TrimSpace(a.Class + " " + a.Size)}, {"maker", a.Maker}, {"product", a.Product}, {"status", status},
		{"paper", strings.TrimSpace(a.Certificate + " " + a.CertificateKind)}, {"made", string(a.Made)}, {"label", string(a.Label)},
		{"extended", extended}, {"made of", strings.Join(a.Inputs, ", ")},
	} {
		if l.value == "" {
			continue
		}
		if err := sentence(p, l.name+strings.Repeat(" ", 9-len(l.name)), l.value); err != nil {
			return err
		}
	}
	return nil
}
