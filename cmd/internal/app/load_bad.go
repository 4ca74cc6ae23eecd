package app

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"ovenward/inventory/measure"
	"ovenward/inventory/sheet"
	"ovenward/storage/feed"
)

// LoadError is a file that cannot be taken for readings.
type LoadError struct {
	Name string // of the file
	Err  error
	Next string
}

// Error names the file and what is wrong with it.
func (e *LoadError) Error() string { return e.Name + ": " + e.Err.Error() }

// Hint returns the next step for the user.
func (e *LoadError) Hint() string { return e.Next }

// Unwrap returns the cause.
func (e *LoadError) Unwrap() error { return e.Err }

// isFile reports whether the file is wrong, and not the reading of it.
func isFile(err error) bool {
	for _, kind := range []error{feed.ErrTruncated, feed.ErrEncoding, feed.ErrTooLong, feed.ErrEmpty} {
		if errors.Is(err, kind) {
			return true
		}
	}
	return is[*feed.ColumnError](err) || is[*feed.LayoutError](err) || is[*feed.RowError](err) ||
		is[*measure.UnitError](err) || is[*sheet.TooLargeError](err)
}

func is[E error](err error) bool {
	_, ok := errors.AsType[E](err)
	return ok
}

// nextFor returns the next step for a file that is wrong.
func nextFor(err error) string {
	switch {
	case is[*feed.ColumnError](err):
		return "name its columns with --time, --value and --sensor, or count them from 1"
	case is[*feed.LayoutError](err):
		return "write --layout as the file writes its times"
	case is[*measure.UnitError](err):
		return "write --unit C or --unit F"
	}
	return "nothing was stored; export the file again and load that"
}

// BadRows are the rows of a file that are not loaded.
type BadRows struct {
	Count int64
	First []BadRow // the first 20, in the order of the file
}

// BadRow is a row that is not loaded, with what is to be done about it.
type BadRow = sheet.Problem

func (b *BadRows) add(row BadRow) {
	b.Count++
	if len(b.First) < listed {
		b.First = append(b.First, row)
	}
}

// addMany adds rows that are wrong in the same way, of which the first is shown.
func (b *BadRows) addMany(first BadRow, count int64) {
	if count > 1 {
		first.Why += fmt.Sprintf(" (%d rows)", count)
	}
	b.Count += count
	b.First = append(b.First, first)
}

// read adds the rows that could not be read.
func (b *BadRows) read(all *feed.RowErrors) {
	b.Count += all.Count
	for _, e := range all.First {
		b.First = append(b.First, unread(e))
	}
}

// order puts the rows in the order of the file and keeps the first of them.
func (b *BadRows) order() {
	slices.SortStableFunc(b.First, func(x, y BadRow) int { return cmp.Compare(x.Line, y.Line) })
	b.First = b.First[:min(len(b.First), listed)]
}

// unread is a row that could not be read. Its reason and what to write stand in
// one sentence.
func unread(e *feed.RowError) BadRow {
	why, next, found := strings.Cut(e.Why, "; ")
	if i := strings.Index(why, ": write "); i >= 0 && !found {
		why, next = why[:i], why[i+len(": "):]
	}
	next = strings.Replace(next, "give it in the mapping", "give --unit C or --unit F", 1)
	return BadRow{Line: e.Line, Column: e.Column, Value: e.Value, Why: why, Next: next}
}
