package feed

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"
	"unicode"

	"ovenward/inventory/measure"
)

// open finds out how the file is written, down to its header.
func open(r io.Reader, m Mapping, zone *time.Location) (*file, error) {
	form, err := parseLayout(m.Layout)
	if err != nil {
		return nil, err
	}
	f := &file{lines: newLines(r), clock: clock{zone: zone, layout: form}, gauge: gauge{decimalComma: m.DecimalComma}}
	if f.gauge.unit, err = parseUnit(m.Unit); err != nil {
		return nil, err
	}
	if err := f.preamble(); err != nil {
		return nil, err
	}
	cells, err := f.firstRow()
	if err != nil {
		return nil, err
	}
	if err := f.columns.find(cells, m); err != nil {
		return nil, err
	}
	if f.columns.numbered && f.reading(cells) {
		f.again, f.columns.names = true, nil
		return f, nil
	}
	f.sum.Columns = f.columns.names
	return f, f.heed()
}

// preamble skips what stands before the first row and finds the delimiter.
func (f *file) preamble() error {
	head, err := f.lines.head()
	if err != nil {
		return fmt.Errorf("line 1: %w", err)
	}
	if mark := []byte("\ufeff"); bytes.HasPrefix(head, mark) {
		head = head[len(mark):]
		f.lines.from += len(mark)
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
		case said && f.cells.comma == 0:
			f.cells.comma = line[4]
		case len(trim(line)) > 0:
			if f.cells.comma == 0 {
				f.cells.comma = sniff(line)
			}
			f.sum.Delimiter = f.cells.comma
			return nil
		}
		if _, err := f.lines.row(0); errors.Is(err, io.EOF) {
			return ErrEmpty
		} else if err != nil {
			return err
		}
		if head, err = f.lines.head(); err != nil {
			return fmt.Errorf("line %d: %w", f.lines.number+1, err)
		}
	}
}

// firstRow reads the first row, which may be the header.
func (f *file) firstRow() ([][]byte, error) {
	var err error
	if f.first, err = f.lines.row(f.cells.comma); err != nil {
		return nil, err
	}
	cells, why := f.cells.split(f.first)
	if why != "" {
		return nil, &RowError{Line: f.lines.began, Value: clip(f.first), Why: why}
	}
	return cells, nil
}

// reading reports whether a first row is one of readings and no header. One
// cell that can be read is enough, lest a bad reading pass for a header.
func (f *file) reading(cells [][]byte) bool {
	_, errTime := f.clock.read(trim(cells[f.columns.time]))
	_, errTemp := f.gauge.read(trim(cells[f.columns.value]))
	return errTime == nil || errTemp == nil || errors.Is(errTemp, errNoUnit)
}

// heed takes from the header what it says of unit and clock.
func (f *file) heed() error {
	c := &f.columns
	said := unitOf(c.names[c.value])
	if said != "" && f.gauge.unit != "" && said != f.gauge.unit {
		return c.fault("value", c.names[c.value],
			fmt.Sprintf("its header says %s and the mapping %s; one of them is wrong", said, f.gauge.unit))
	}
	if said != "" {
		f.gauge.unit = said
	}
	utc, other := clockOf(c.names[c.time])
	if other {
		return c.fault("time", c.names[c.time],
			"its header names an offset; write the offset behind each time, or take it out of the header")
	}
	if utc {
		f.clock.zone = time.UTC
	}
	return nil
}

// parseUnit returns "C", "F" or nothing.
func parseUnit(s string) (string, error) {
	if strings.TrimSpace(s) == "" {
		return "", nil
	}
	zero, err := measure.ParseTemperature("0 " + s)
	if err != nil {
		return "", &measure.UnitError{Kind: "unit of temperature", Value: s, Why: "unknown", Write: "C or F"}
	}
	if zero == measure.Celsius(0) {
		return "C", nil
	}
	return "F", nil
}

// cutRemark cuts a header into its name and the remark behind it, in brackets
// or from a degree sign or "deg" on: "temp (C)" into "temp" and "C". A bare
// letter is no remark: "oven C" may be the third oven.
func cutRemark(header string) (name, remark string) {
	header = strings.TrimSpace(header)
	closing := map[byte]string{'(': ")", '[': "]"}
	if i := strings.LastIndexAny(header, "(["); i >= 0 && strings.HasSuffix(header, closing[header[i]]) {
		return strings.TrimSpace(header[:i]), header[i+1 : len(header)-1]
	}
	for _, degree := range []string{"°", "º", "deg"} {
		if i := strings.LastIndex(header, degree); i >= 0 {
			return strings.TrimSpace(header[:i]), header[i:]
		}
	}
	return header, ""
}

// unitOf returns the unit that a header shows, or nothing.
func unitOf(header string) string {
	_, remark := cutRemark(header)
	unit, err := parseUnit(remark)
	if err != nil {
		return ""
	}
	return unit
}

// clockOf reports whether a header says that its times are UTC, or names
// another offset from it.
func clockOf(name string) (utc, other bool) {
	rest := strings.ReplaceAll(strings.ToUpper(name), "GMT", "UTC")
	for {
		before, after, found := strings.Cut(rest, "UTC")
		if !found {
			return false, false
		}
		word := strings.TrimRightFunc(before, unicode.IsLetter) == before &&
			strings.TrimLeftFunc(after, unicode.IsLetter) == after
		if after = strings.TrimSpace(after); word {
			other = after != "" && (after[0] == '+' || after[0] == '-')
			return !other, other
		}
		rest = after
	}
}
