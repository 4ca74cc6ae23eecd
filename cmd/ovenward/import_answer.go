package main

import (
	"fmt"
	"strings"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
	"ovenward/inventory/sheet"
	"ovenward/storage/register"
)

// importAnswer is what became of a register, for a program.
type importAnswer struct {
	File     string             `json:"file"`
	Register string             `json:"register"`
	DryRun   bool               `json:"dry_run,omitempty"`
	Rows     int                `json:"rows"`     // recorded, repeated or refused
	Recorded int                `json:"recorded"` // now
	Repeated int                `json:"repeated"` // recorded before
	Refused  int                `json:"refused"`
	InPart   int                `json:"in_part,omitempty"` // of the refused, rows of which the rest is recorded
	Facts    int                `json:"facts"`             // recorded now
	Lots     []lotBalanceAnswer `json:"lots"`
	Problems []sheet.Problem    `json:"problems"`
	Warnings []app.RowWarning   `json:"warnings"`
	Unread   []string           `json:"unread_columns,omitempty"`
}

// lotBalanceAnswer is where the rods of a lot are.
type lotBalanceAnswer struct {
	Lot      string `json:"lot"`
	Received string `json:"received"`
	InStock  string `json:"in_stock"`
	Out      string `json:"out"`
	Used     string `json:"used"`
	Scrapped string `json:"scrapped"`
	Lost     string `json:"lost"`
	Open     string `json:"open"` // accounted for nowhere
}

func newImportAnswer(file string, k register.Kind, dry bool, out app.Imported) importAnswer {
	a := importAnswer{File: file, Register: string(k), DryRun: dry, Rows: out.Rows, Recorded: out.Recorded, Repeated: out.Repeated,
		Refused: out.Refused, InPart: out.InPart, Facts: out.Facts, Lots: []lotBalanceAnswer{},
		Problems: some(out.Problems), Warnings: some(out.Warnings), Unread: out.Unread}
	for _, b := range out.Lots {
		a.Lots = append(a.Lots, newLotBalance(b))
	}
	return a
}

func newLotBalance(b app.LotBalance) lotBalanceAnswer {
	amount := func(a app.Amount) string {
		if b.Counted {
			return fmt.Sprint(a.Pieces)
		}
		return a.Mass.String()
	}
	return lotBalanceAnswer{Lot: b.Lot, Received: amount(b.Received), InStock: amount(b.InStock), Out: amount(b.Out),
		Used: amount(b.Used), Scrapped: amount(b.Scrapped), Lost: amount(b.Lost), Open: amount(b.Open())}
}

func (a importAnswer) table() show.Table {
	t := show.Table{Title: a.title(), Note: a.note(), Head: []string{"lot", "received", "in stock", "out", "used", "scrapped", "lost"},
		Right: []int{1, 2, 3, 4, 5, 6}}
	for _, b := range a.Lots {
		t.Add(b.Lot, b.Received, b.InStock, b.Out, b.Used, b.Scrapped, b.Lost)
	}
	return t
}

func (a importAnswer) title() string {
	lead := "IMPORTED"
	if a.DryRun {
		lead = "TRIED   "
	}
	return fmt.Sprintf("%s %s: %s read = %d recorded + %d recorded before + %d refused",
		lead, a.File, counted(a.Rows, "row", "rows"), a.Recorded, a.Repeated, a.Refused)
}

// note says what is left to do.
func (a importAnswer) note() string {
	var lines []string
	if a.InPart > 0 {
		lines = append(lines, fmt.Sprintf("of the refused, %s in part: what is listed for it is missing", counted(a.InPart, "row is recorded", "rows are recorded")))
	}
	if a.Refused > 0 {
		lines = append(lines, "next: mend the rows listed and import the file again: nothing is recorded twice")
	}
	if a.Register == string(register.Stock) && a.Recorded > 0 && !a.DryRun {
		lines = append(lines, "next: QA releases what has a label, a certificate and a sound package: ovenward lot held")
	}
	return strings.Join(lines, "\n")
}

// warnOfImport lists what was refused, what is to be said of rows that were
// recorded, and the columns that were not read.
func (e *env) warnOfImport(out app.Imported) {
	for _, p := range out.Problems {
		e.warn("%s", p)
	}
	for _, w := range out.Warnings {
		e.warn("line %d: %s", w.Line, w.Text)
	}
	if len(out.Unread) > 0 {
		e.warn("%s not read: %s; name the fields with --map, or leave the columns out with --map \"%s=-\"",
			counted(len(out.Unread), "column is", "columns are"), strings.Join(out.Unread, ", "), out.Unread[0])
	}
}
