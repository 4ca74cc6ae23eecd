package show

import (
	"slices"

	"github.com/jedib0t/go-pretty/v6/text"
)

// gap is the space between two columns.
const gap = 2

// layout is which columns of a table are shown, and how wide each may be.
type layout struct {
	columns []int // of the table, in order
	widths  []int
}

// fit lays a table out for a terminal: the columns that can be spared go first,
// then the widest are wrapped between words. Zero width is unlimited.
func (t Table) fit(width int) layout {
	var l layout
	for c := range t.wide() {
		l.columns = append(l.columns, c)
		l.widths = append(l.widths, t.longest(c, text.LongestLineLen))
	}
	if width == 0 {
		return l
	}
	for _, c := range t.Spare {
		if l.total() <= width {
			break
		}
		l.leaveOut(c)
	}
	l.narrow(width, t.least)
	l.giveBack(t, width)
	return l
}

// wide is the number of columns.
func (t Table) wide() int {
	if len(t.Head) > 0 {
		return len(t.Head)
	}
	return len(t.Rows[0])
}

// longest returns the greatest length in a column, its heading included.
func (t Table) longest(column int, length func(string) int) int {
	n := 0
	if len(t.Head) > 0 {
		n = length(t.Head[column])
	}
	for _, r := range t.Rows {
		n = max(n, length(r[column]))
	}
	return n
}

// least is the width below which a column would be cut inside a word.
func (t Table) least(column int) int {
	return t.longest(column, func(cell string) int {
		n := 0
		for _, word := range words(cell) {
			n = max(n, text.LongestLineLen(word))
		}
		return n
	})
}

// leftOut returns the headings of the columns that were spared.
func (t Table) leftOut(l layout) (names []string) {
	for c := range t.wide() {
		if !slices.Contains(l.columns, c) {
			names = append(names, t.Head[c])
		}
	}
	return names
}

func (l *layout) total() int {
	n := -gap
	for _, w := range l.widths {
		n += w + gap
	}
	return n
}

func (l *layout) leaveOut(column int) {
	if i := slices.Index(l.columns, column); i >= 0 {
		l.columns, l.widths = slices.Delete(l.columns, i, i+1), slices.Delete(l.widths, i, i+1)
	}
}

// narrow takes from the widest column what the terminal does not have. A table
// of long words may stay too wide: a code cut in two cannot be read off.
func (l *layout) narrow(width int, least func(column int) int) {
	for excess := l.total() - width; excess > 0; excess-- {
		widest := -1
		for i, w := range l.widths {
			if w > least(l.columns[i]) && (widest < 0 || w > l.widths[widest]) {
				widest = i
			}
		}
		if widest < 0 {
			return
		}
		l.widths[widest]--
	}
}

// giveBack returns what wrapping left over, to columns that are whole with it,
// the first ones first.
func (l *layout) giveBack(t Table, width int) {
	for i, c := range l.columns {
		l.widths[i] = t.longest(c, func(cell string) int { return text.LongestLineLen(wrap(cell, l.widths[i])) })
	}
	for i, c := range l.columns {
		if whole := t.longest(c, text.LongestLineLen); whole-l.widths[i] <= width-l.total() {
			l.widths[i] = whole
		}
	}
}
