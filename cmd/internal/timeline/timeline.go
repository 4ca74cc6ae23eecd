// Package timeline replays a sequence of facts, written as JSON lines by a
// person from a paper log, through the same code as live commands, and checks
// what it was expected to come to.
package timeline

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
)

// File is a timeline as read.
type File struct {
	Header Header
	Lines  []Line
}

// LineError reports a line that cannot be replayed.
type LineError struct {
	Line int
	Why  string
}

// Error names the line.
func (e *LineError) Error() string { return fmt.Sprintf("line %d: %s", e.Line, e.Why) }

// longestLine is far beyond what anybody writes, in bytes.
const longestLine = 1 << 20

const firstLine = `the first line is {"timeline":1,"zone":"America/Halifax","rules":"reference-running"}`

// Read reads a timeline and checks that every line can be understood. Empty
// lines and lines that begin with # or // are for the reader of the file. The
// error is a *LineError, or of the reader.
func Read(r io.Reader) (*File, error) {
	s := bufio.NewScanner(r)
	s.Buffer(make([]byte, 0, 64<<10), longestLine)
	f := &File{}
	n := 1
	for ; s.Scan(); n++ {
		if text := bytes.TrimSpace(bytes.TrimPrefix(s.Bytes(), []byte("\ufeff"))); !comment(text) {
			if err := f.add(n, text); err != nil {
				return nil, err
			}
		}
	}
	switch err := s.Err(); {
	case errors.Is(err, bufio.ErrTooLong):
		return nil, &LineError{n, fmt.Sprintf("longer than %d bytes", longestLine)}
	case err != nil:
		return nil, err
	case f.Header.Timeline == 0:
		return nil, &LineError{1, "no header: " + firstLine}
	}
	return f, nil
}

func comment(text []byte) bool {
	return len(text) == 0 || text[0] == '#' || bytes.HasPrefix(text, []byte("//"))
}

func (f *File) add(n int, text []byte) (err error) {
	if f.Header.Timeline == 0 {
		f.Header, err = readHeader(n, text)
		return err
	}
	l, err := readLine(n, text)
	f.Lines = append(f.Lines, l)
	return err
}
