package plan

import (
	"bufio"
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// Read reads planned joints from CSV with commas, semicolons or tabs, with or
// without a byte order mark. Its columns are those of Columns, in any order;
// job, joint, week, prep, quantity, item1 and size1 must be there.
//
// A bad row is a Problem of the plan, not an error. The error is for a file
// that cannot be trusted as a whole, and the plan is then empty: a *ColumnError,
// one that wraps ErrTruncated or ErrEncoding, or a *csv.ParseError.
func Read(r io.Reader) (Plan, error) {
	tail := &lastByte{r: r}
	buf := bufio.NewReaderSize(tail, 64<<10)
	if err := skipMark(buf); err != nil {
		return Plan{}, err
	}
	records := csv.NewReader(buf)
	records.Comma = delimiter(buf)
	records.FieldsPerRecord = -1
	header, err := records.Read()
	if errors.Is(err, io.EOF) {
		return Plan{}, &ColumnError{Column: required()[0], Why: "missing, the file is empty"}
	}
	if err != nil {
		return Plan{}, explain(err)
	}
	columns, err := readHeader(header)
	if err != nil {
		return Plan{}, err
	}
	p, err := readRows(records, columns)
	if err != nil {
		return Plan{}, err
	}
	if tail.b != '\n' && tail.b != '\r' {
		p.Warnings = append(p.Warnings,
			"the file does not end with a line end: if it was cut, the last row is not what was written")
	}
	return p, nil
}

// readRows reads the rows below the header.
func readRows(records *csv.Reader, columns []column) (Plan, error) {
	var p Plan
	seen := make(map[string]int)
	lastShort := 0 // line of the last row if it was short
	for {
		cells, err := records.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return Plan{}, explain(err)
		}
		lastShort = 0
		if len(trimTail(cells)) == 0 {
			continue
		}
		line, _ := records.FieldPos(0)
		d := draft{row: line}
		if len(cells) < len(columns) {
			lastShort = line
		}
		d.read(columns, cells)
		p.add(&d, seen)
	}
	if lastShort > 0 {
		return Plan{}, fmt.Errorf("row %d: fewer cells than the header's %d in the last row: %w; save it again whole",
			lastShort, len(columns), ErrTruncated)
	}
	return p, nil
}

// add puts a row that was read with the joints or with the problems.
func (p *Plan) add(d *draft, seen map[string]int) {
	j := d.finish()
	name := j.Job + "\x00" + j.ID
	if first, twice := seen[name]; twice && len(d.problems) == 0 {
		d.problem("joint", j.ID, fmt.Sprintf("the joint of this job is in row %d already", first),
			"another joint, or one row with the quantity of both")
	}
	if len(d.problems) > 0 {
		p.Problems = append(p.Problems, d.problems...)
		return
	}
	seen[name] = d.row
	p.Joints = append(p.Joints, j)
}

// explain puts what the CSV reader found into the trade's words.
func explain(err error) error {
	var bad *csv.ParseError
	if !errors.As(err, &bad) {
		return fmt.Errorf("planned joints: %w", err)
	}
	if errors.Is(bad.Err, csv.ErrQuote) {
		return fmt.Errorf("row %d: a quotation mark is opened and not closed: %w; save it again whole, "+
			"and write inches as 1/4 in (%w)", bad.StartLine, ErrTruncated, err)
	}
	return fmt.Errorf("row %d: a quotation mark inside a cell; write inches as 1/4 in: %w", bad.StartLine, err)
}

// skipMark drops a byte order mark and refuses UTF-16 and other binary files.
func skipMark(b *bufio.Reader) error {
	head, err := b.Peek(4096)
	if err != nil && !errors.Is(err, io.EOF) {
		return fmt.Errorf("planned joints: %w", err)
	}
	if bytes.HasPrefix(head, []byte{0xff, 0xfe}) || bytes.HasPrefix(head, []byte{0xfe, 0xff}) ||
		bytes.IndexByte(head, 0) >= 0 {
		return ErrEncoding
	}
	if mark := []byte("\ufeff"); bytes.HasPrefix(head, mark) {
		_, err = b.Discard(len(mark))
		return err
	}
	return nil
}

// delimiter returns the one of comma, semicolon and tab that the first line has
// most of.
func delimiter(b *bufio.Reader) rune {
	head, _ := b.Peek(4096)
	line, _, _ := strings.Cut(string(head), "\n")
	best, most := ',', strings.Count(line, ",")
	for _, d := range [...]rune{';', '\t'} {
		if n := strings.Count(line, string(d)); n > most {
			best, most = d, n
		}
	}
	return best
}

// lastByte remembers the last byte that was read.
type lastByte struct {
	r io.Reader
	b byte
}

// Read reads from the file and keeps its last byte.
func (l *lastByte) Read(p []byte) (int, error) {
	n, err := l.r.Read(p)
	if n > 0 {
		l.b = p[n-1]
	}
	return n, err
}

// printable reports whether a cell is text that a screen can show.
func printable(cell string) bool {
	return utf8.ValidString(cell) && !strings.ContainsFunc(cell, func(r rune) bool { return r < ' ' || r == 0x7f })
}
