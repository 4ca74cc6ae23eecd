// Package show prints what commands answer: as a table for a person, as CSV for
// a spreadsheet, as JSON for a program. Only data goes to standard output.
package show

import (
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode"

	"github.com/jedib0t/go-pretty/v6/table"
	"github.com/jedib0t/go-pretty/v6/text"
)

// Format is how an answer is printed.
type Format string

// The formats.
const (
	AsTable Format = "table"
	AsCSV   Format = "csv"
	AsJSON  Format = "json"
)

// ParseFormat returns the format of a name.
func ParseFormat(s string) (Format, error) {
	switch f := Format(s); f {
	case AsTable, AsCSV, AsJSON:
		return f, nil
	}
	return "", fmt.Errorf("format %q: use table, csv or json", s)
}

// Table is rows under headings. Title and Note are for people only.
type Table struct {
	Title string
	Head  []string // none: rows of a name and a value
	Rows  [][]string
	Right []int // columns set to the right, from 0
	Spare []int // columns left out where a terminal is too narrow, the first to go first
	Note  string
	Empty string // said instead of a table without rows
}

// Add appends a row.
func (t *Table) Add(cells ...string) { t.Rows = append(t.Rows, cells) }

// Printer prints answers in one format.
type Printer struct {
	W      io.Writer
	Format Format
	Width  int // of the terminal; zero: unlimited
}

// Answer prints data in JSON, or its tables otherwise.
func (p *Printer) Answer(data any, tables ...Table) error {
	if p.Format == AsJSON {
		return p.JSON(data)
	}
	for i, t := range tables {
		if i > 0 && p.Format == AsTable {
			if err := p.Line(""); err != nil {
				return err
			}
		}
		if err := p.table(t); err != nil {
			return err
		}
	}
	return nil
}

// JSON prints a value as one indented document.
func (p *Printer) JSON(data any) error {
	e := json.NewEncoder(p.W)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(data)
}

// Line prints a sentence for a person; CSV and JSON leave it out.
func (p *Printer) Line(format string, args ...any) error {
	if p.Format != AsTable {
		return nil
	}
	_, err := fmt.Fprintln(p.W, plain(fmt.Sprintf(format, args...), '\n'))
	return err
}

// plain puts a mark in place of control characters, with which a label's text
// could move the cursor or paint the screen. Those in keep stay.
func plain(s string, keep ...rune) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) && !slices.Contains(keep, r) {
			return unicode.ReplacementChar
		}
		return r
	}, s)
}

func (p *Printer) table(t Table) error {
	if p.Format == AsCSV {
		return p.csv(t)
	}
	if t.Title != "" {
		if err := p.Line("%s", t.Title); err != nil {
			return err
		}
	}
	if len(t.Rows) == 0 {
		return p.Line("%s", t.Empty)
	}
	t.Rows = plainRows(t.Rows)
	l := t.fit(p.Width)
	if err := p.Line("%s", t.render(l)); err != nil {
		return err
	}
	if out := t.leftOut(l); len(out) > 0 {
		if err := p.Line("left out for want of room: %s", strings.Join(out, ", ")); err != nil {
			return err
		}
	}
	if t.Note == "" {
		return nil
	}
	return p.Line("%s", t.Note)
}

func plainRows(rows [][]string) [][]string {
	out := make([][]string, len(rows))
	for i, r := range rows {
		out[i] = make([]string, len(r))
		for j, cell := range r {
			out[i][j] = plain(cell)
		}
	}
	return out
}

// render draws the table as it was laid out.
func (t Table) render(l layout) string {
	w := table.NewWriter()
	style := table.StyleDefault
	style.Options = table.Options{SeparateHeader: true}
	style.Box.MiddleHorizontal = "-"
	style.Box.PaddingLeft, style.Box.PaddingRight = "", strings.Repeat(" ", gap)
	style.Format.Header = text.FormatDefault
	w.SetStyle(style)
	if len(t.Head) > 0 {
		w.AppendHeader(l.row(t.Head))
	}
	for _, r := range t.Rows {
		w.AppendRow(l.row(r))
	}
	w.SetColumnConfigs(l.configs(t.Right))
	lines := strings.Split(w.Render(), "\n")
	for i, s := range lines {
		lines[i] = strings.TrimRight(s, " ")
		if strings.Trim(s, "-") == "" { // the rule under the headings, drawn past the last column
			lines[i] = s[:min(len(s), l.total())]
		}
	}
	return strings.Join(lines, "\n")
}

func (l layout) row(cells []string) table.Row {
	r := make(table.Row, len(l.columns))
	for i, c := range l.columns {
		r[i] = cells[c]
	}
	return r
}

func (l layout) configs(right []int) []table.ColumnConfig {
	configs := make([]table.ColumnConfig, len(l.columns))
	for i, c := range l.columns {
		configs[i] = table.ColumnConfig{Number: i + 1, WidthMax: l.widths[i], WidthMaxEnforcer: wrap}
		if slices.Contains(right, c) {
			configs[i].Align, configs[i].AlignHeader = text.AlignRight, text.AlignRight
		}
	}
	return configs
}
