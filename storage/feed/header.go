package feed

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"time"
	"unicode"

	"ovenward/inventory/measure"
	"ovenward/inventory/sheet"
)

// open finds out how the file is written, down to its header.
func open(r io.Reader, m Mapping, zone *time.Location) (*file, error) {
	form, err := parseLayout(m.Layout)
	if err != nil {
		return nil, err
	}
	f := &file{clock: clock{zone: zone, layout: form}, gauge: gauge{decimalComma: m.DecimalComma}}
	if f.gauge.unit, err = parseUnit(m.Unit); err != nil {
		return nil, err
	}
	if f.rows, err = sheet.NewReader(r); err != nil {
		return nil, err
	}
	f.sum.Delimiter = f.rows.Delimiter()
	cells, err := f.firstRow()
	if err != nil {
		return nil, err
	}
	if err := f.columns.find(cells, m); err != nil {
		return nil, err
	}
	if f.columns.numbered && f.reading(cells) {
		f.columns.names = nil
		f.rows.Back(cells)
		f.sum.Unit = f.gauge.unit
		return f, nil
	}
	f.sum.Columns = f.columns.names
	return f, f.heed()
}

// firstRow reads the first row, which may be the header.
func (f *file) firstRow() ([][]byte, error) {
	cells, err := f.rows.Next()
	if broken, ok := errors.AsType[*sheet.RowError](err); ok {
		return nil, &RowError{Line: broken.Line, Value: broken.Text, Why: broken.Why}
	}
	return cells, err
}

// reading reports whether a first row is one of readings and no header. One
// cell that can be read is enough, lest a bad reading pass for a header.
func (f *file) reading(cells [][]byte) bool {
	_, errTime := f.clock.read(f.when(cells))
	_, errTemp := f.gauge.read(sheet.Trim(cells[f.columns.value]))
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
	f.sum.Unit = f.gauge.unit
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
