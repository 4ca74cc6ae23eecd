package feed

import (
	"errors"
	"fmt"
	"strings"

	"ovenward/inventory/measure"
	"ovenward/inventory/sheet"
)

// What may be wrong with a file as a whole.
var (
	ErrTruncated = sheet.ErrTruncated
	ErrEncoding  = sheet.ErrEncoding
	ErrTooLong   = sheet.ErrTooLong
	ErrEmpty     = sheet.ErrEmpty
)

var errNoSensor = errors.New("no sensor")

// ColumnError reports a column that is not in the file, or not once.
type ColumnError struct {
	For   string   // "time", "date", "value" or "sensor"
	Want  string   // as asked for
	Why   string   // what is wrong
	Found []string // the columns of the file
}

// Error names the columns that were found.
func (e *ColumnError) Error() string {
	quoted := make([]string, len(e.Found))
	for i, name := range e.Found {
		quoted[i] = fmt.Sprintf("%q", name)
	}
	return fmt.Sprintf("column %q for the %s: %s; the file has %s",
		e.Want, e.For, e.Why, strings.Join(quoted, ", "))
}

// LayoutError reports a layout of times that cannot be read with.
type LayoutError struct {
	Layout string
	Why    string
}

// Error says how a layout is written.
func (e *LayoutError) Error() string {
	return fmt.Sprintf("layout of times %q: %s; write %s", e.Layout, e.Why, Layouts)
}

// RowError reports a row that is not a reading.
type RowError struct {
	Line   int64  // on which the row begins, counted from 1
	Column string // empty where the row as a whole is wrong
	Value  string // as written, the start of it where it is long
	Why    string
	err    error
	short  bool // too few cells
}

// Error says where it stands, what it is and what is wrong.
func (e *RowError) Error() string {
	if e.Column == "" {
		return fmt.Sprintf("line %d: %q: %s", e.Line, e.Value, e.Why)
	}
	return fmt.Sprintf("line %d, column %q: %q: %s", e.Line, e.Column, e.Value, e.Why)
}

// Unwrap returns what the cell was refused with, such as a
// *measure.AmbiguousTimeError, or nil.
func (e *RowError) Unwrap() error { return e.err }

// kept is how many bad rows are kept to be shown.
const kept = 20

// RowErrors reports the bad rows of a file that was read to its end.
type RowErrors struct {
	Count int64
	First []*RowError // the first 20
}

// Error says how many there are and shows the first.
func (e *RowErrors) Error() string {
	if e.Count == 1 {
		return e.First[0].Error()
	}
	return fmt.Sprintf("%d rows are not readings, the first: %v", e.Count, e.First[0])
}

// Unwrap returns the first bad rows.
func (e *RowErrors) Unwrap() []error {
	all := make([]error, len(e.First))
	for i, bad := range e.First {
		all[i] = bad
	}
	return all
}

func (e *RowErrors) add(bad *RowError) {
	e.Count++
	if len(e.First) < kept {
		e.First = append(e.First, bad)
	}
}

// because puts the error of a cell into words that do not repeat its value.
func because(err error) string {
	if unit, ok := errors.AsType[*measure.UnitError](err); ok {
		return unit.Why + "; write " + unit.Write
	}
	return err.Error()
}
