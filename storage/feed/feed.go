// Package feed reads readings of ovens and of the air of a store from where they
// come from. It begins with the files that loggers and chart recorders export: CSV
// with a column mapping.
package feed

import (
	"errors"
	"fmt"
	"io"
	"time"

	"ovenward/inventory/measure"
	"ovenward/inventory/sheet"
)

// Mapping says which columns hold what and how it is written. A column is given
// by its name in the header, in any case and with or without the unit behind
// it, or by its number counted from 1. A file may lack a header
// when all columns are numbers.
type Mapping struct {
	Time   string
	Date   string // column of the date where it stands apart from the time; empty: with it
	Value  string
	Sensor string // column of the sensor or place; empty: the file is of one
	Unit   string // "C" or "F"; empty: the header says, "temp (C)", or each cell, "130.5 C"
	Layout string // of times, see Layouts; empty: as measure.ParseInstant reads them

	// DecimalComma says that a comma is a decimal mark even before three
	// digits, where "130,125" is refused as perhaps a thousand.
	DecimalComma bool

	Humidity string // column of the relative humidity; empty: the file has none that is asked for
	Weather  string // column of the weather in words; empty: none
}

// Row is one reading.
type Row struct {
	Line   int64  // on which the row begins, counted from 1
	Sensor string // as written, trimmed; empty without a column for it
	At     measure.Instant
	Temp   measure.Temperature // as shown, not corrected for the sensor's error

	Humidity measure.Humidity // where the mapping has a column for it
	Weather  string           // as written, trimmed, where the mapping has a column for it
}

// Summary is what was found in a file.
type Summary struct {
	Rows        int64 // readings handed over
	Lines       int64
	First, Last measure.Instant // of the readings; zero without any
	Columns     []string        // of the header; nil without one
	Delimiter   byte            // ',', ';' or tab
	Unit        string          // "C" or "F" of bare numbers, by the mapping or the header; empty: each cell says
	Unfinished  bool            // the last line has no line end: if the file was cut, its last figure may be too
}

// Read reads a file of readings in CSV and hands each to fn, in the order of
// the file. It finds out by itself whether commas, semicolons or tabs part the
// cells, reads points and commas as decimal mark, and skips a byte order mark,
// a "sep=;" line and empty lines.
//
// Times without an offset are on the clock of the zone, or on UTC where the
// header of their column says "UTC". A time that happens twice or not at all
// there is a bad row, never a guess.
//
// All rows are read, however many are bad; the error is then a *RowErrors, and
// whoever cannot do without them drops what fn was given. Any other error ends
// the reading: a *ColumnError, a *LayoutError, a *measure.UnitError for
// Mapping.Unit, a *RowError for a broken first row, one that wraps ErrTruncated,
// ErrEncoding, ErrTooLong or ErrEmpty, what r failed with, or what fn returned,
// with its line.
func Read(r io.Reader, m Mapping, zone *time.Location, fn func(Row) error) (Summary, error) {
	return read(r, m, zone, fn, nil)
}

// ReadGrowing is Read for a part of a file that goes on being written, of which
// the header and whole lines are given. Every bad row is handed to bad, with what
// of it could be read, and none is an error; nor is a last one with too few cells.
func ReadGrowing(r io.Reader, m Mapping, zone *time.Location, fn func(Row) error, bad func(Row, *RowError)) (Summary, error) {
	return read(r, m, zone, fn, bad)
}

func read(r io.Reader, m Mapping, zone *time.Location, fn func(Row) error, bad func(Row, *RowError)) (Summary, error) {
	f, err := open(r, m, zone)
	if err != nil {
		return Summary{}, err
	}
	f.told = bad
	err = f.each(fn)
	f.sum.Lines, f.sum.Unfinished = f.rows.Lines(), f.rows.Unfinished()
	if err == nil && f.bad.Count > 0 {
		err = &f.bad
	}
	return f.sum, err
}

// file is a file while it is read.
type file struct {
	rows    *sheet.Reader
	columns columns
	clock   clock
	gauge   gauge
	names   names
	sum     Summary
	bad     RowErrors
	dated   []byte               // a date and a time that stand apart
	short   *RowError            // the last row, where it has too few cells
	told    func(Row, *RowError) // of each bad row; nil: they are counted
}

// each reads all rows below the header.
func (f *file) each(fn func(Row) error) error {
	for {
		cells, err := f.rows.Next()
		if errors.Is(err, io.EOF) {
			return f.end()
		}
		row, found, bad, err := f.read(cells, err)
		if err != nil {
			return err
		}
		switch {
		case bad != nil && f.told != nil:
			f.told(row, bad)
		case bad != nil:
			f.bad.add(bad)
			f.short = nil
			if bad.short {
				f.short = bad
			}
		case found:
			f.short = nil
			f.count(row)
			if err := fn(row); err != nil {
				return fmt.Errorf("line %d: %w", row.Line, err)
			}
		}
	}
}

// end judges the end of the file: a last row with too few cells says that the
// file was cut, because loggers write whole rows.
func (f *file) end() error {
	if f.short != nil {
		return fmt.Errorf("line %d, the last: %s: %w; export or copy it again",
			f.short.Line, f.short.Why, ErrTruncated)
	}
	return nil
}

// read reads one row that the sheet handed out, or could not.
func (f *file) read(cells [][]byte, failed error) (r Row, found bool, bad *RowError, err error) {
	if failed == nil {
		r, found, bad = f.row(cells)
		if c := &f.columns; bad != nil && f.told != nil && c.sensor >= 0 && c.sensor < len(cells) {
			r.Sensor = f.names.of(sheet.Trim(cells[c.sensor]))
		}
		return r, found, bad, nil
	}
	if broken, ok := errors.AsType[*sheet.RowError](failed); ok {
		return r, false, &RowError{Line: broken.Line, Value: broken.Text, Why: broken.Why}, nil
	}
	return r, false, nil, failed
}

// row reads the cells of one row; found is false for an empty one.
func (f *file) row(cells [][]byte) (r Row, found bool, bad *RowError) {
	line := f.rows.Line()
	if sheet.Blank(cells) {
		return r, false, nil
	}
	c := &f.columns
	if bad := c.fits(cells, line, f.rows.Unfinished()); bad != nil {
		return r, false, bad
	}
	r.Line = line
	var err error
	if r.At, err = f.clock.read(f.when(cells)); err != nil {
		return r, false, c.bad(c.time, cells, line, err)
	}
	if r.Temp, err = f.gauge.read(sheet.Trim(cells[c.value])); err != nil {
		return r, false, c.bad(c.value, cells, line, err)
	}
	if c.sensor >= 0 {
		if r.Sensor = f.names.of(sheet.Trim(cells[c.sensor])); r.Sensor == "" {
			return r, false, c.bad(c.sensor, cells, line, errNoSensor)
		}
	}
	bad = f.air(cells, &r)
	return r, bad == nil, bad
}

func (f *file) count(r Row) {
	if f.sum.Rows == 0 {
		f.sum.First, f.sum.Last = r.At, r.At
	}
	f.sum.Rows++
	f.sum.First, f.sum.Last = min(f.sum.First, r.At), max(f.sum.Last, r.At)
}

// when returns the text of a row's time, with its date before it.
func (f *file) when(cells [][]byte) []byte {
	t := sheet.Trim(cells[f.columns.time])
	if f.columns.date < 0 {
		return t
	}
	f.dated = append(f.dated[:0], sheet.Trim(cells[f.columns.date])...)
	f.dated = append(append(f.dated, ' '), t...)
	return f.dated
}
