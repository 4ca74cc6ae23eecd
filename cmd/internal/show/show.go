// Package show prints what commands answer: as a table for a person, as CSV for
// a spreadsheet, as JSON for a program. Only data goes to standard output.
package show

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"strconv"
	"strings"

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
	_, err := fmt.Fprintf(p.W, format+"\n", args...)
	return err
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
	if _, err := fmt.Fprintln(p.W, p.render(t)); err != nil {
		return err
	}
	if t.Note == "" {
		return nil
	}
	return p.Line("%s", t.Note)
}

func (p *Printer) render(t Table) string {
	w := table.NewWriter()
	style := table.StyleDefault
	style.Options = table.Options{SeparateHeader: true}
	style.Box.MiddleHorizontal = "-"
	style.Box.PaddingLeft, style.Box.PaddingRight = "", "  "
	style.Format.Header = text.FormatDefault
	w.SetStyle(style)
	if len(t.Head) > 0 {
		w.AppendHeader(row(t.Head))
	}
	for _, r := range t.Rows {
		w.AppendRow(row(r))
	}
	var configs []table.ColumnConfig
	for _, c := range t.Right {
		configs = append(configs, table.ColumnConfig{Number: c + 1, Align: text.AlignRight, AlignHeader: text.AlignRight})
	}
	if last := len(t.Rows[0]) - 1; p.Width > 0 {
		configs = append(configs, table.ColumnConfig{Number: last + 1, WidthMax: p.room(t, last), WidthMaxEnforcer: text.WrapSoft})
	}
	w.SetColumnConfigs(configs)
	lines := strings.Split(w.Render(), "\n")
	for i, l := range lines {
		lines[i] = strings.TrimRight(l, " ")
	}
	return strings.Join(lines, "\n")
}

// room is what the terminal leaves for the last column, which holds the words.
func (p *Printer) room(t Table, last int) int {
	const gap, least = 2, 24
	left := p.Width
	for c := range last {
		widest := 0
		if len(t.Head) > 0 {
			widest = text.LongestLineLen(t.Head[c])
		}
		for _, r := range t.Rows {
			widest = max(widest, text.LongestLineLen(r[c]))
		}
		left -= widest + gap
	}
	return max(left, least)
}

func row(cells []string) table.Row {
	r := make(table.Row, len(cells))
	for i, c := range cells {
		r[i] = c
	}
	return r
}

func (p *Printer) csv(t Table) error {
	w := csv.NewWriter(p.W)
	if len(t.Head) > 0 {
		if err := w.Write(t.Head); err != nil {
			return err
		}
	}
	for _, r := range t.Rows {
		safe := make([]string, len(r))
		for i, c := range r {
			safe[i] = Defuse(c)
		}
		if err := w.Write(safe); err != nil {
			return err
		}
	}
	w.Flush()
	return w.Error()
}

// Defuse keeps a spreadsheet from taking text for a formula: a cell that begins
// like one gets an apostrophe in front. Numbers stay numbers.
func Defuse(cell string) string {
	if cell == "" || !strings.ContainsRune("=+-@\t\r", rune(cell[0])) {
		return cell
	}
	if _, err := strconv.ParseFloat(cell, 64); err == nil {
		return cell
	}
	return "'" + cell
}
