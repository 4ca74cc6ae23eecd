// Package timeline replays a sequence of facts, written as JSON lines by a
// person from a paper log, through the same code as live commands, and checks
// what it was expected to come to.
package timeline

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"strings"
)

// Header is the first line of a timeline.
type Header struct {
	Timeline int                        `json:"timeline"` // the version of the form, 1
	Zone     string                     `json:"zone"`
	Rules    string                     `json:"rules"`
	Site     string                     `json:"site"`
	Units    string                     `json:"units"`
	Set      map[string]json.RawMessage `json:"set"` // single settings of the rule set
	Title    string                     `json:"title"`
	Note     string                     `json:"note"`
	Source   string                     `json:"source"`
}

// Line is one fact or expectation.
type Line struct {
	Number int // in the file, from 1
	Head   Head
	Body   map[string]json.RawMessage // the fields that the verb reads
}

// Head is what any line may carry.
type Head struct {
	At      string `json:"at"`
	Do      string `json:"do"`
	ID      string `json:"id"`
	By      string `json:"by"`
	Noted   string `json:"noted"`
	Refused string `json:"refused"`
	Note    string `json:"note"` // for the reader of the file
}

// LineError reports a line that cannot be replayed.
type LineError struct {
	Line int
	Why  string
}

// Error names the line.
func (e *LineError) Error() string { return fmt.Sprintf("line %d: %s", e.Line, e.Why) }

// File is a timeline as read.
type File struct {
	Header Header
	Lines  []Line
}

const longestLine = 1 << 20

// Read reads a timeline. The error is a *LineError.
func Read(r io.Reader) (*File, error) {
	s := bufio.NewScanner(r)
	s.Buffer(make([]byte, 0, 64<<10), longestLine)
	f := &File{}
	for n := 1; s.Scan(); n++ {
		text := bytes.TrimSpace(bytes.TrimPrefix(s.Bytes(), []byte("\ufeff")))
		switch {
		case len(text) == 0 || text[0] == '#':
			continue
		case f.Header.Timeline == 0:
			if err := f.header(n, text); err != nil {
				return nil, err
			}
			continue
		}
		l, err := readLine(n, text)
		if err != nil {
			return nil, err
		}
		f.Lines = append(f.Lines, l)
	}
	if err := s.Err(); err != nil {
		return nil, &LineError{Line: len(f.Lines) + 1, Why: err.Error()}
	}
	if f.Header.Timeline == 0 {
		return nil, &LineError{Line: 1, Why: "no header: the first line is {\"timeline\":1,\"zone\":...,\"rules\":...}"}
	}
	return f, nil
}

func (f *File) header(n int, text []byte) error {
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	if err := d.Decode(&f.Header); err != nil {
		return &LineError{n, "header: " + plain(err)}
	}
	if f.Header.Timeline != 1 {
		return &LineError{n, fmt.Sprintf("header: timeline %d; this program reads version 1", f.Header.Timeline)}
	}
	if f.Header.Zone == "" || f.Header.Rules == "" {
		return &LineError{n, "header: zone and rules are needed, such as \"zone\":\"America/Halifax\",\"rules\":\"reference-running\""}
	}
	return nil
}

func readLine(n int, text []byte) (Line, error) {
	l := Line{Number: n}
	if err := json.Unmarshal(text, &l.Head); err != nil {
		return l, &LineError{n, plain(err)}
	}
	if err := json.Unmarshal(text, &l.Body); err != nil {
		return l, &LineError{n, plain(err)}
	}
	if l.Head.Do == "" {
		return l, &LineError{n, "no verb: write \"do\":\"issue\" or another"}
	}
	for _, name := range []string{"do", "id", "by", "noted", "refused", "note"} {
		delete(l.Body, name)
	}
	if l.Head.Do != "correct" {
		delete(l.Body, "at")
	}
	return l, nil
}

// plain takes the jargon out of a JSON error.
func plain(err error) string {
	s := err.Error()
	s = strings.TrimPrefix(s, "json: ")
	return strings.ReplaceAll(s, "cannot unmarshal", "cannot read")
}

// settings returns the header's changes as text.
func (h Header) settings() map[string]string {
	out := map[string]string{}
	for name, raw := range h.Set {
		var s string
		if json.Unmarshal(raw, &s) != nil {
			s = string(raw)
		}
		out[name] = s
	}
	return out
}
