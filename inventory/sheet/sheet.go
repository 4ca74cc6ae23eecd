// Package sheet reads rows of cells from workbooks and from the CSV files that
// spreadsheets, loggers and chart recorders write, each in its own way.
package sheet

import (
	"bytes"
	"errors"
	"fmt"
	"io"
)

// What may be wrong with a file as a whole.
var (
	ErrTruncated = errors.New("the file was cut")
	ErrEncoding  = errors.New("not plain text in one byte per letter or UTF-8; export it again as CSV in UTF-8")
	ErrTooLong   = errors.New("a row of more than 1 MiB; every row has a line of its own")
	ErrEmpty     = errors.New("the file is empty")
)

// RowError reports a row that cannot be parted into cells. The rows behind it
// can be read.
type RowError struct {
	Line int64  // on which the row begins, counted from 1
	Text string // the start of the row
	Why  string
}

// Error says where the row stands and what is wrong with it.
func (e *RowError) Error() string { return fmt.Sprintf("line %d: %q: %s", e.Line, e.Text, e.Why) }

// Reader hands out the rows of a file one by one.
type Reader struct {
	lines *lines
	cells splitter
	again [][]byte // the row that was put back
	book  *book    // of an .xlsx file; then there are no lines
}

// NewReader finds out how a file is written: it skips a byte order mark, a
// "sep=;" line and empty lines at the top, and sees whether commas, semicolons
// or tabs part the cells. Of a workbook, known by its first bytes, it takes the
// first sheet that is not hidden. The error wraps ErrEncoding, ErrTooLong,
// ErrEmpty, is a *BookError or a *TooLargeError, or is what r failed with.
func NewReader(r io.Reader) (*Reader, error) {
	head := make([]byte, len(zipMark))
	n, err := io.ReadFull(r, head)
	if err != nil && !errors.Is(err, io.EOF) && !errors.Is(err, io.ErrUnexpectedEOF) {
		return nil, fmt.Errorf("line 1: %w", err)
	}
	head = head[:n]
	r = io.MultiReader(bytes.NewReader(head), r)
	switch {
	case bytes.Equal(head, oldMark):
		return nil, broken(errors.New("it is an .xls file of the old kind, or has a password"))
	case Begins(head):
		s := &Reader{lines: newLines(r), cells: splitter{comma: '\t'}}
		s.book, err = openBook(r)
		return s, err
	}
	s := &Reader{lines: newLines(r)}
	return s, s.preamble()
}

// IsBook reports whether the file is a workbook.
func (r *Reader) IsBook() bool { return r.book != nil }

// Delimiter returns what parts the cells: a comma, a semicolon, a tab, or what
// a "sep=" line names. That of a workbook is a tab.
func (r *Reader) Delimiter() byte { return r.cells.comma }

// Line returns the line on which the last row began, counted from 1; of a
// workbook, the number of the row.
func (r *Reader) Line() int64 {
	if r.book != nil {
		return r.book.row
	}
	return r.lines.began
}

// Lines returns the number of lines read, or of a workbook's rows.
func (r *Reader) Lines() int64 {
	if r.book != nil {
		return r.book.row
	}
	return r.lines.number
}

// Unfinished reports whether the last line has no line end: if the file was
// cut, its last figure may be too. It is known behind the last row.
func (r *Reader) Unfinished() bool { return r.lines.unfinished }

// Next returns the cells of the next row, which are good until the call after
// it. The error is io.EOF behind the last row, a *RowError for a row without
// cells, one that wraps ErrTruncated or ErrTooLong, or what the file's reader
// failed with.
func (r *Reader) Next() ([][]byte, error) {
	if r.again != nil {
		cells := r.again
		r.again = nil
		return cells, nil
	}
	if r.book != nil {
		return r.book.next()
	}
	row, err := r.lines.row(r.cells.comma)
	if err != nil {
		return nil, err
	}
	cells, why := r.cells.split(row)
	if why != "" {
		return nil, &RowError{Line: r.lines.began, Text: Clip(row), Why: why}
	}
	return cells, nil
}

// Back lets Next return the row just read once more.
func (r *Reader) Back(cells [][]byte) { r.again = cells }

// preamble skips what stands before the first row and finds the delimiter.
func (r *Reader) preamble() error {
	head, err := r.lines.head()
	if err != nil {
		return fmt.Errorf("line 1: %w", err)
	}
	if mark := []byte("\ufeff"); bytes.HasPrefix(head, mark) {
		head = head[len(mark):]
		r.lines.from += len(mark)
	}
	utf16 := bytes.HasPrefix(head, []byte{0xff, 0xfe}) || bytes.HasPrefix(head, []byte{0xfe, 0xff})
	if utf16 || bytes.IndexByte(head[:min(len(head), 4096)], 0) >= 0 {
		return ErrEncoding
	}
	for {
		line, _, _ := bytes.Cut(head, []byte("\n"))
		line = trimEnd(line)
		said := len(line) == len("sep=;") && bytes.EqualFold(line[:4], []byte("sep="))
		switch {
		case said && r.cells.comma == 0:
			r.cells.comma = line[4]
		case len(Trim(line)) > 0:
			if r.cells.comma == 0 {
				r.cells.comma = sniff(line)
			}
			return nil
		}
		if _, err := r.lines.row(0); errors.Is(err, io.EOF) {
			return ErrEmpty
		} else if err != nil {
			return err
		}
		if head, err = r.lines.head(); err != nil {
			return fmt.Errorf("line %d: %w", r.lines.number+1, err)
		}
	}
}
