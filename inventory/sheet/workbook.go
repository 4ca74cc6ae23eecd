package sheet

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"
)

// Page is one sheet of a workbook to write. Cells are text, whole numbers or
// numbers; nil is empty. Text is never taken for a formula.
type Page struct {
	Name string
	Head []string
	Rows [][]any
}

// PageOf returns a text of rows, as a template is kept, as a sheet.
func PageOf(name, text string) (Page, error) {
	p := Page{Name: name}
	r, err := NewReader(strings.NewReader(text))
	for err == nil {
		var cells [][]byte
		if cells, err = r.Next(); err != nil {
			break
		}
		row := make([]any, len(cells))
		for i, c := range cells {
			row[i] = string(c)
		}
		if p.Head != nil {
			p.Rows = append(p.Rows, row)
			continue
		}
		for _, c := range cells {
			p.Head = append(p.Head, string(c))
		}
	}
	if errors.Is(err, io.EOF) {
		err = nil
	}
	return p, err
}

// widest bounds a column, in letters.
const widest = 60

// WriteXLSX writes pages as a workbook, each with its headings in bold and kept
// in sight.
func WriteXLSX(w io.Writer, pages ...Page) error {
	f := excelize.NewFile()
	defer f.Close()
	bold, err := f.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true}})
	if err != nil {
		return fmt.Errorf("workbook: %w", err)
	}
	for i, p := range pages {
		if i == 0 {
			err = f.SetSheetName(f.GetSheetName(0), p.Name)
		} else {
			_, err = f.NewSheet(p.Name)
		}
		if err == nil {
			err = p.write(f, bold)
		}
		if err != nil {
			return fmt.Errorf("workbook, sheet %s: %w", p.Name, err)
		}
	}
	_, err = f.WriteTo(w)
	return err
}

func (p Page) write(f *excelize.File, bold int) error {
	w, err := f.NewStreamWriter(p.Name)
	if err != nil {
		return err
	}
	for i, width := range p.widths() {
		if err := w.SetColWidth(i+1, i+1, width); err != nil {
			return err
		}
	}
	if err := w.SetPanes(&excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"}); err != nil {
		return err
	}
	head := make([]any, len(p.Head))
	for i, h := range p.Head {
		head[i] = excelize.Cell{StyleID: bold, Value: h}
	}
	if err := w.SetRow("A1", head); err != nil {
		return err
	}
	for i, row := range p.Rows {
		at, err := excelize.CoordinatesToCellName(1, i+2)
		if err != nil {
			return err
		}
		if err := w.SetRow(at, row); err != nil {
			return err
		}
	}
	return w.Flush()
}

// widths fits the columns to their cells.
func (p Page) widths() []float64 {
	widths := make([]float64, len(p.Head))
	fit := func(i int, cell any) {
		if i < len(widths) && cell != nil {
			widths[i] = min(widest, max(widths[i], float64(utf8.RuneCountInString(fmt.Sprint(cell))+2)))
		}
	}
	for i, h := range p.Head {
		fit(i, h)
	}
	for _, row := range p.Rows {
		for i, cell := range row {
			if x, ok := cell.(float64); ok && (math.IsNaN(x) || math.IsInf(x, 0)) {
				row[i] = nil
				continue
			}
			fit(i, cell)
		}
	}
	return widths
}
