// Package plan reads planned joints from a table that a planner keeps in a
// spreadsheet, as the workbook itself or saved as CSV.
//
// Every quantity carries its unit, in the cell (1/4 in) or for the whole column
// in the header (opening (mm)). A row that cannot be read is reported cell by
// cell and the other rows load. A row that can be read but not computed, because
// a size is missing or a preparation has no geometry, loads too: the forecast
// lists it. Cells are text: no formula is ever evaluated.
package plan

import (
	_ "embed"
	"fmt"
	"strings"

	"ovenward/forecast/joint"
	"ovenward/inventory/sheet"
)

// What may be wrong with a file as a whole: it ends in the middle of a row, or is
// neither text nor a workbook.
var (
	ErrTruncated = sheet.ErrTruncated
	ErrEncoding  = sheet.ErrEncoding
)

// Plan is what a file holds.
type Plan struct {
	Joints   []joint.Joint // the rows that could be read, in the file's order
	Problems []Problem     // the cells that could not; their rows are not among the joints
	Done     []Key         // joints that the file says are welded; they are not among the joints
	Warnings []string      // what a person should look at though every row was read
}

// Problem is one cell that could not be read.
type Problem struct {
	Row    int    // line of the file, the header being line 1
	Column string // as the header names it, without a unit
	Value  string // as given
	Reason string
	Write  string // what to write instead
}

// Error returns the whole sentence.
func (p Problem) Error() string {
	return fmt.Sprintf("row %d, column %s, %q: %s; write %s", p.Row, p.Column, p.Value, p.Reason, p.Write)
}

// ColumnError reports a header that cannot be used.
type ColumnError struct {
	Column string   // the column that is missing, unknown or there twice
	Why    string   // what is wrong with it
	Found  []string // the columns as the header names them
}

// Error names the column, what was found and what is known.
func (e *ColumnError) Error() string {
	return fmt.Sprintf("column %q: %s; found %s; known are %s", e.Column, e.Why,
		strings.Join(e.Found, ", "), strings.Join(Columns(), ", "))
}

//go:embed template.csv
var template string

// Template returns an example with invented joints, which Read reads without a
// problem.
func Template() string { return template }
