package show

import (
	"encoding/csv"
	"io"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"
)

// CSV writes rows for a spreadsheet. All CSV that the program makes goes through
// it, so that none of it holds a formula.
type CSV struct{ w *csv.Writer }

// NewCSV returns a writer of rows.
func NewCSV(w io.Writer) *CSV { return &CSV{csv.NewWriter(w)} }

// Write writes one row. What a row is kept of is not changed.
func (c *CSV) Write(cells ...string) error {
	safe := slices.Clone(cells)
	for i, cell := range safe {
		safe[i] = Defuse(cell)
	}
	return c.w.Write(safe)
}

// Flush writes what is kept back. The error is of any row before, too.
func (c *CSV) Flush() error {
	c.w.Flush()
	return c.w.Error()
}

func (p *Printer) csv(t Table) error {
	w := NewCSV(p.W)
	if len(t.Head) > 0 {
		if err := w.Write(t.Head...); err != nil {
			return err
		}
	}
	for _, r := range t.Rows {
		if err := w.Write(r...); err != nil {
			return err
		}
	}
	return w.Flush()
}

// signed is a number, or a temperature, that may keep its sign at the front.
var signed = regexp.MustCompile(`^[+-][0-9]+([.,][0-9]+)?( °?[CF])?$`)

// leading are the characters at which a spreadsheet takes a cell for a formula,
// the full-width forms of them included, and the apostrophe that says it is none.
const leading = "'=+-@\t\r\n＝＋－＠"

// Defuse keeps a spreadsheet from taking text for a formula: a cell that begins
// like one gets an apostrophe in front, and so does one that begins with an
// apostrophe, so that a reader who takes one off has the text again. Numbers
// stay numbers.
func Defuse(cell string) string {
	first, size := utf8.DecodeRuneInString(cell)
	if size == 0 || !strings.ContainsRune(leading, first) || signed.MatchString(cell) {
		return cell
	}
	return "'" + cell
}

// Undefuse returns the text that Defuse was given: a cell that begins with an
// apostrophe had it put in front.
func Undefuse(cell string) string { return strings.TrimPrefix(cell, "'") }
