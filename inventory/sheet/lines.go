package sheet

import (
	"bytes"
	"errors"
	"fmt"
	"io"
)

const (
	chunk  = 256 << 10 // bytes read at once
	maxRow = 1 << 20   // bytes in a row
)

// lines hands out the rows of a file as slices of its buffer.
type lines struct {
	r          io.Reader
	buf        []byte
	from, to   int   // what of buf is not handed out
	number     int64 // of lines handed out
	began      int64 // the line on which the last row began
	drained    bool  // r is at its end
	unfinished bool  // the last line has no line end
}

func newLines(r io.Reader) *lines { return &lines{r: r, buf: make([]byte, chunk)} }

// row returns the next row without its line end, which is good until the next
// call. A row has more than one line where a quoted cell does. The error is
// io.EOF behind the last row, wraps ErrTruncated or ErrTooLong, or is the
// reader's.
func (l *lines) row(comma byte) ([]byte, error) {
	q := quotes{comma: comma}
	l.began = l.number + 1
	length := 0
	for {
		n, err := l.lineEnd(length)
		switch {
		case err != nil && !errors.Is(err, io.EOF):
			return nil, fmt.Errorf("line %d: %w", l.began, err)
		case errors.Is(err, io.EOF) && length == 0:
			return nil, io.EOF
		case errors.Is(err, io.EOF):
			return nil, fmt.Errorf("line %d: a quotation mark is opened and not closed: %w; export or copy it again",
				l.began, ErrTruncated)
		}
		l.number++
		if !q.open(l.buf[l.from+length : l.from+n]) {
			row := l.buf[l.from : l.from+n]
			l.from += n
			return trimEnd(row), nil
		}
		length = n
	}
}

// lineEnd returns how many bytes the row has from its start to the next line
// end, which is looked for behind the first length bytes.
func (l *lines) lineEnd(length int) (int, error) {
	seen := length
	for {
		if i := bytes.IndexByte(l.buf[l.from+seen:l.to], '\n'); i >= 0 {
			return seen + i + 1, nil
		}
		seen = l.to - l.from
		switch {
		case l.drained && seen == length:
			return 0, io.EOF
		case l.drained:
			l.unfinished = true
			return seen, nil
		case seen > maxRow:
			return 0, ErrTooLong
		}
		if err := l.fill(); err != nil {
			return 0, err
		}
	}
}

// fill reads more, behind what is not handed out yet.
func (l *lines) fill() error {
	if l.from > 0 {
		l.to = copy(l.buf, l.buf[l.from:l.to])
		l.from = 0
	}
	if l.to == len(l.buf) {
		l.buf = append(l.buf, make([]byte, len(l.buf))...)
	}
	const patience = 100
	for range patience {
		n, err := l.r.Read(l.buf[l.to:])
		l.to += n
		if err == io.EOF {
			l.drained = true
			return nil
		}
		if n > 0 || err != nil {
			return err
		}
	}
	return io.ErrNoProgress
}

// head returns the start of what is not handed out, at least a line of it
// where it is not longer than a row may be.
func (l *lines) head() ([]byte, error) {
	for !l.drained && l.to-l.from <= maxRow && bytes.IndexByte(l.buf[l.from:l.to], '\n') < 0 {
		if err := l.fill(); err != nil {
			return nil, err
		}
	}
	return l.buf[l.from:l.to], nil
}

func trimEnd(row []byte) []byte {
	row = bytes.TrimSuffix(row, []byte("\n"))
	return bytes.TrimSuffix(row, []byte("\r"))
}

// quotes follows the quotation marks of a row from line to line. A mark opens a
// cell only as its first letter, and is doubled inside.
type quotes struct {
	comma byte
	state quoteState
}

type quoteState byte

const (
	fresh  quoteState = iota // at the start of a cell
	plain                    // in a cell without marks
	inside                   // in a marked cell
	closed                   // behind a mark that closes the cell, or is the first of two
)

// open reports whether a cell is still open at the end of the text.
func (q *quotes) open(text []byte) bool {
	if q.state == fresh && bytes.IndexByte(text, '"') < 0 {
		return false
	}
	for _, b := range text {
		switch {
		case q.state == inside && b != '"':
		case q.state == inside:
			q.state = closed
		case b == '"' && q.state != plain:
			q.state = inside
		case b == q.comma:
			q.state = fresh
		default:
			q.state = plain
		}
	}
	return q.state == inside
}
