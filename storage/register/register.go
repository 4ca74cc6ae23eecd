// Package register reads the registers that a rod room kept on paper or in a
// spreadsheet, saved as CSV, into the acts that they tell of. What a row says
// is read here; whether it can have happened is for the ledger to decide.
package register

import (
	"errors"
	"fmt"
	"io"
	"time"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/inventory/sheet"
	"ovenward/storage/feed"
)

// MaxRows is the most rows that one file may have. A register of a year has a
// few thousand; a file of more is split by month.
const MaxRows = 200_000

// ErrTooManyRows is wrapped by the error of Read for a file of more than
// MaxRows rows.
var ErrTooManyRows = fmt.Errorf("more than %d rows; split the file by month", MaxRows)

// Act is one thing that a row says was done. A row of an issue register that
// says what came back, too, tells of two.
type Act struct {
	Line    int64
	Row     int // of the file, counted from 1 below the header
	At      measure.Instant
	By      string // who the register names; empty: nobody
	Entries []inventory.Entry
	Lot     string // the row names the lot and no bundle
	Welder  string // the row names the welder and no slip
	After   int    // index of the act of the same row that this one rests on; -1: none
}

// Register is what was read from a file.
type Register struct {
	Rows     int // with something in them
	Acts     []Act
	Problems []sheet.Problem
	Unread   []string // columns that hold something and are not read
	fields   map[string]string
}

// Column returns the name of the column that a field was read from; empty for
// none.
func (r *Register) Column(field string) string { return r.fields[field] }

// Read reads a register of a kind. A row that cannot be read is a Problem and
// the others are read all the same. The error is a *MappingError for columns
// that are not there, a *feed.LayoutError, or what sheet.Reader gives for a file
// that cannot be trusted as a whole.
func Read(r io.Reader, k Kind, m Mapping, zone *time.Location) (*Register, error) {
	if k == Oven {
		return nil, &MappingError{string(k), "readings are read by package feed", "give the columns time, place and temp"}
	}
	clock, err := feed.NewClock(m.Layout, zone)
	if err != nil {
		return nil, err
	}
	rows, err := sheet.NewReader(r)
	if err != nil {
		return nil, err
	}
	header, err := rows.Next()
	if err != nil {
		return nil, err
	}
	c, err := find(header, k, m)
	if err != nil {
		return nil, err
	}
	f := file{rows: rows, kind: k, columns: c, clock: clock, commas: m.DecimalComma,
		out: &Register{fields: c.names()}}
	return f.out, f.all()
}

// file is a register while it is read.
type file struct {
	rows    *sheet.Reader
	kind    Kind
	columns *columns
	clock   *feed.Clock
	commas  bool // are decimal marks
	out     *Register
	seen    map[int]bool // columns that are not read and hold something
}

func (f *file) all() error {
	f.seen = map[int]bool{}
	for {
		cells, err := f.rows.Next()
		switch {
		case errors.Is(err, io.EOF):
			f.unread()
			return nil
		case f.out.Rows >= MaxRows:
			return ErrTooManyRows
		}
		if broken, ok := errors.AsType[*sheet.RowError](err); ok {
			f.out.Rows++
			f.problem(sheet.Problem{Line: broken.Line, Value: broken.Text, Why: broken.Why, Next: "mend the row and load the file again"})
			continue
		}
		if err != nil {
			return err
		}
		if sheet.Blank(cells) {
			continue
		}
		f.out.Rows++
		f.row(cells)
	}
}

func (f *file) problem(p sheet.Problem) { f.out.Problems = append(f.out.Problems, p) }

// row reads one row into its acts, or into the first thing wrong with it.
func (f *file) row(cells [][]byte) {
	r := &row{file: f, line: f.rows.Line(), cells: cells}
	if wide := len(f.columns.header); len(cells) > wide && !sheet.Blank(cells[wide:]) {
		f.problem(sheet.Problem{Line: r.line, Value: sheet.Clip(cells[wide]),
			Why:  fmt.Sprintf("%d cells instead of %d", len(cells), wide),
			Next: "put quotation marks around a cell with a comma in it"})
		return
	}
	for i := range min(len(cells), len(f.columns.header)) {
		if !f.columns.taken[i] && len(sheet.Trim(cells[i])) > 0 {
			f.seen[i] = true
		}
	}
	acts := r.acts()
	if r.bad != nil {
		f.problem(*r.bad)
		return
	}
	first := len(f.out.Acts)
	for i, a := range acts {
		a.Line, a.Row = r.line, f.out.Rows
		if a.After = -1; i > 0 {
			a.After = first
		}
		f.out.Acts = append(f.out.Acts, a)
	}
}

// unread lists the columns that hold something and are not read.
func (f *file) unread() {
	for i, name := range f.columns.header {
		if f.seen[i] {
			f.out.Unread = append(f.out.Unread, name)
		}
	}
}
