package report

import (
	"cmp"
	"slices"
	"strings"

	"ovenward/cmd/internal/show"
	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// Print writes a report: everything in JSON and as tables, one part in CSV. An
// empty part is the first one. The error is a *inventory.Refusal for a part that
// there is not.
func (m Made) Print(p *show.Printer, part string, u measure.UnitSystem) error {
	parts := m.Parts
	if part != "" {
		i := slices.IndexFunc(parts, func(o Part) bool { return o.Name == part })
		if i < 0 {
			return m.noPart(part)
		}
		parts = parts[i : i+1]
	}
	s := style{zone: m.Head.zone, units: u}
	switch p.Format {
	case show.AsJSON:
		return p.JSON(m.answer(parts))
	case show.AsCSV:
		return p.Answer(nil, parts[0].rows(s))
	case show.AsTable:
	}
	for _, l := range m.Head.lines() {
		if err := p.Line("%s", l); err != nil {
			return err
		}
	}
	for _, o := range parts {
		if err := p.Line(""); err != nil {
			return err
		}
		if err := p.Answer(nil, o.table(s)); err != nil {
			return err
		}
	}
	return nil
}

func (m Made) noPart(part string) error {
	var have []string
	for _, o := range m.Parts {
		have = append(have, o.Name)
	}
	return &inventory.Refusal{Code: inventory.Unknown, Subject: "part", Value: part, Why: "report " + m.Name + " has no part of that name",
		Next: "use one of: " + strings.Join(have, ", ")}
}

// table is the part for a person.
func (o Part) table(s style) show.Table {
	t := show.Table{Title: strings.ToUpper(o.Title), Empty: o.Empty, Note: strings.Join(o.Notes, "\n")}
	if len(o.Rows) == 0 && t.Note != "" {
		t.Empty += "\n" + t.Note
	}
	for i, c := range o.Columns {
		t.Head = append(t.Head, cmp.Or(c.Head, strings.ReplaceAll(c.Name, "_", " ")))
		if kinds[c.Of].right {
			t.Right = append(t.Right, i)
		}
	}
	t.Spare = o.spare()
	for _, r := range o.Rows {
		cells := make([]string, len(r))
		for i, c := range r {
			cells[i] = c.text(s)
		}
		t.Rows = append(t.Rows, cells)
	}
	return t
}

// spare returns the columns that may be left out, the first to go first.
func (o Part) spare() (columns []int) {
	for i, c := range o.Columns {
		if c.Spare > 0 {
			columns = append(columns, i)
		}
	}
	slices.SortStableFunc(columns, func(a, b int) int { return cmp.Compare(o.Columns[a].Spare, o.Columns[b].Spare) })
	return columns
}

// rows is the part for a spreadsheet, every column of it.
func (o Part) rows(s style) show.Table {
	var t show.Table
	for _, c := range o.Columns {
		t.Head = append(t.Head, c.Name+kinds[c.Of].inCSV)
	}
	for _, r := range o.Rows {
		cells := make([]string, len(r))
		for i, c := range r {
			cells[i] = c.flat(s)
		}
		t.Rows = append(t.Rows, cells)
	}
	return t
}

// answer is a report for a program.
type answer struct {
	Head
	Parts []partAnswer `json:"parts"`
}

type partAnswer struct {
	Name    string           `json:"name"`
	Title   string           `json:"title"`
	Columns []columnAnswer   `json:"columns"`
	Rows    []map[string]any `json:"rows"`
	Empty   string           `json:"empty,omitempty"` // what was looked for in vain
	Notes   []string         `json:"notes,omitempty"`
}

type columnAnswer struct {
	Name string `json:"name"`
	Type string `json:"type"`
	Unit string `json:"unit,omitempty"`
}

func (m Made) answer(parts []Part) answer {
	a := answer{Head: m.Head, Parts: []partAnswer{}}
	for _, o := range parts {
		p := partAnswer{Name: o.Name, Title: o.Title, Rows: []map[string]any{}, Notes: o.Notes}
		if len(o.Rows) == 0 {
			p.Empty = o.Empty
		}
		for _, c := range o.Columns {
			k := kinds[c.Of]
			p.Columns = append(p.Columns, columnAnswer{c.Name + k.inJSON, k.kind, k.unit})
		}
		for _, r := range o.Rows {
			row := map[string]any{}
			for i, c := range r {
				row[p.Columns[i].Name] = c.value()
			}
			p.Rows = append(p.Rows, row)
		}
		a.Parts = append(a.Parts, p)
	}
	return a
}
