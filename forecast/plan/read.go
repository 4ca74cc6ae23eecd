package plan

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"ovenward/inventory/sheet"
)

// Read reads planned joints from a workbook, or from CSV with commas, semicolons
// or tabs, with or without a byte order mark. Its columns are those of Columns,
// in any order and by any of the usual names; job, joint, week, prep, quantity,
// item1 and size1 must be there. Lines above the heading that hold one cell are
// titles.
//
// A bad row is a Problem of the plan, not an error. The error is for a file
// that cannot be trusted as a whole, and the plan is then empty: a *ColumnError,
// a *sheet.TooLargeError, or one that wraps ErrTruncated or ErrEncoding.
func Read(r io.Reader) (Plan, error) {
	rows, err := sheet.NewReader(r)
	if errors.Is(err, sheet.ErrEmpty) {
		return Plan{}, &ColumnError{Column: required()[0], Why: "missing, the file is empty"}
	}
	if err != nil {
		return Plan{}, fmt.Errorf("planned joints: %w", err)
	}
	columns, err := heading(rows)
	if err != nil {
		return Plan{}, err
	}
	p, err := readRows(rows, columns)
	if err != nil {
		return Plan{}, err
	}
	if rows.Unfinished() {
		p.Warnings = append(p.Warnings,
			"the file does not end with a line end: if it was cut, the last row is not what was written")
	}
	return p, nil
}

// mostTitles bounds the lines above the heading.
const mostTitles = 10

// heading finds the columns, below what is a title.
func heading(rows *sheet.Reader) ([]column, error) {
	for titles := 0; ; titles++ {
		cells, err := rows.Next()
		if errors.Is(err, io.EOF) || errors.Is(err, sheet.ErrEmpty) {
			return nil, &ColumnError{Column: required()[0], Why: "missing, the file is empty"}
		}
		if err != nil {
			return nil, explain(err, rows.Line())
		}
		texts := trimTail(texts(cells))
		if titles < mostTitles && isTitle(texts) {
			continue
		}
		return readHeader(texts)
	}
}

// isTitle reports whether a line has one cell that is no heading.
func isTitle(cells []string) bool {
	filled := ""
	for _, c := range cells {
		if strings.TrimSpace(c) == "" {
			continue
		}
		if filled != "" {
			return false
		}
		filled = c
	}
	_, why := readColumn(filled)
	return why != ""
}

// texts copies cells, which the reader overwrites.
func texts(cells [][]byte) []string {
	out := make([]string, len(cells))
	for i, c := range cells {
		out[i] = string(c)
	}
	return out
}

// readRows reads the rows below the heading.
func readRows(rows *sheet.Reader, columns []column) (Plan, error) {
	var p Plan
	seen := make(map[string]int)
	known := newMemo()
	lastShort := 0 // line of the last row if it was short
	for {
		cells, err := rows.Next()
		if errors.Is(err, io.EOF) {
			break
		}
		d := draft{row: int(rows.Line()), known: known}
		if odd, ok := errors.AsType[*sheet.RowError](err); ok {
			d.problem(columns[0].name, odd.Text, odd.Why, "the row again, and inches as 1/4 in")
			p.Problems = append(p.Problems, d.problems...)
			continue
		}
		if err != nil {
			return Plan{}, explain(err, rows.Line())
		}
		lastShort = 0
		if sheet.Blank(cells) {
			continue
		}
		if len(cells) < len(columns) {
			lastShort = d.row
		}
		d.read(columns, texts(cells))
		p.add(&d, seen)
	}
	if lastShort > 0 {
		return Plan{}, fmt.Errorf("row %d: fewer cells than the header's %d in the last row: %w; save it again whole",
			lastShort, len(columns), ErrTruncated)
	}
	return p, nil
}

// add puts a row that was read with the joints, with those that are done, or
// with the problems.
func (p *Plan) add(d *draft, seen map[string]int) {
	j := d.finish()
	key := Key{j.Job, j.ID}
	name := key.Job + "\x00" + key.Joint
	if first, twice := seen[name]; twice && len(d.problems) == 0 {
		d.problem("joint", j.ID, fmt.Sprintf("the joint of this job is in row %d already", first),
			"another joint, or one row with the quantity of both")
	}
	if len(d.problems) > 0 {
		p.Problems = append(p.Problems, d.problems...)
		return
	}
	seen[name] = d.row
	if d.done {
		p.Done = append(p.Done, key)
		return
	}
	if len(p.Joints) == cap(p.Joints) { // a million joints are copied twice, not ten times
		p.Joints = slices.Grow(p.Joints, max(64, len(p.Joints)))
	}
	p.Joints = append(p.Joints, j)
}

// explain puts what the reader found into the trade's words.
func explain(err error, row int64) error {
	if errors.Is(err, ErrTruncated) {
		return fmt.Errorf("row %d: a quotation mark is opened and not closed: %w; save it again whole, "+
			"and write inches as 1/4 in", row, ErrTruncated)
	}
	return fmt.Errorf("planned joints: %w", err)
}

// printable reports whether a cell is text that a screen can show.
func printable(cell string) bool {
	return utf8.ValidString(cell) && !strings.ContainsFunc(cell, func(r rune) bool { return r < ' ' || r == 0x7f })
}
