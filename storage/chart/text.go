package chart

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
)

// The marks of readings in text: they differ by more than their colour.
const (
	reading   = '*'
	tooCold   = 'v'
	tooHot    = '^'
	joined    = '.'
	limit     = '-'
	verticals = '|'
)

// marks of the lanes, in words.
var marks = []struct {
	mark Mark
	says string
}{{Fault, "not as asked"}, {Unknown, "not proven"}, {Off, "switched off"}, {Done, "as asked"}, {Inside, "inside"}, {Event, "opened"}}

// lines is the height of the curves in text, without limits.
const lines = 12

// Text draws the chart in lines of text no wider than width, without colour. It
// is made for 80 columns; it takes 50 at least.
func (c Chart) Text(width int) string {
	width = max(width, 50)
	t := c.newText(width)
	t.limitLines()
	for _, k := range c.Curves {
		t.curve(k)
	}
	var b strings.Builder
	fmt.Fprintln(&b, folded(c.Title, width))
	t.writeCurves(&b)
	t.writeClock(&b)
	for _, l := range c.Lanes {
		t.writeLane(&b, l)
	}
	t.writeKey(&b, width)
	return b.String()
}

// text is a chart while it is drawn in text.
type text struct {
	Chart
	rows
	margin int // columns of labels on the left
	wide   int // columns of the drawing
	cells  [][]rune
	used   map[rune]bool
}

func (c Chart) newText(width int) *text {
	t := &text{Chart: c, rows: c.rows(lines + 2*len(c.Limits)), used: map[rune]bool{}}
	const widest = 16
	for _, l := range c.Lanes {
		t.margin = max(t.margin, min(utf8.RuneCountInString(l.Name), widest))
	}
	for _, l := range c.Limits {
		t.margin = max(t.margin, utf8.RuneCountInString(l.At.In(c.Units)))
	}
	t.margin = max(t.margin, len("1,000 °F"))
	t.wide = width - t.margin - len(" |")
	t.cells = make([][]rune, t.n)
	for i := range t.cells {
		t.cells[i] = []rune(strings.Repeat(" ", t.wide))
	}
	return t
}

func (t *text) column(at measure.Instant) int { return min(t.along(at, t.wide), t.wide-1) }

// put draws a mark, not over one that says more.
func (t *text) put(row, column int, mark rune) {
	if weight(mark) >= weight(t.cells[row][column]) {
		t.cells[row][column] = mark
		t.used[mark] = true
	}
}

func weight(mark rune) int { return strings.IndexRune(" -.*^v", mark) }

func (t *text) limitLines() {
	for _, l := range t.rows.limits {
		for x := range t.wide {
			if !l.Guide || x%3 == 0 {
				t.put(l.row, x, limit)
			}
		}
	}
}

func (t *text) curve(k Curve) {
	for _, run := range t.runs(k) {
		for i, r := range run {
			if i > 0 {
				t.join(run[i-1], r)
			}
			t.put(t.of(r.Temp), t.column(r.At), t.mark(r))
		}
	}
}

func (t *text) mark(r evidence.Reading) rune {
	return [...]rune{fine: reading, below: tooCold, above: tooHot}[t.breaches(r.Temp)]
}

// join draws the columns between two readings.
func (t *text) join(a, b evidence.Reading) {
	from, to := t.column(a.At), t.column(b.At)
	for x := from + 1; x < to; x++ {
		part := (b.Temp - a.Temp) * measure.Temperature(x-from) / measure.Temperature(to-from)
		t.put(t.of(a.Temp+part), x, joined)
	}
}

// writeCurves writes the drawing with the temperatures of its lines.
func (t *text) writeCurves(b *strings.Builder) {
	labels := map[int]string{}
	taken := map[string]bool{}
	for _, l := range t.rows.limits {
		labels[l.row], taken[l.At.In(t.Units)] = l.At.In(t.Units), true
	}
	for _, d := range t.degrees(t.low, t.high, 5) {
		if row := t.of(d); labels[row] == "" && !taken[d.In(t.Units)] {
			labels[row] = d.In(t.Units)
		}
	}
	for row := t.n - 1; row >= 0; row-- {
		t.write(b, labels[row], verticals, string(t.cells[row]))
	}
}

func (t *text) write(b *strings.Builder, label string, edge rune, drawing string) {
	line := fmt.Sprintf("%*s %c%s", t.margin, cut(label, t.margin), edge, drawing)
	fmt.Fprintln(b, strings.TrimRight(line, " "))
}

// cut shortens a label that is too long, and says so.
func cut(s string, most int) string {
	if r := []rune(s); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return s
}

// writeClock writes the times along the bottom.
func (t *text) writeClock(b *strings.Builder) {
	edge, labels := []rune(strings.Repeat("-", t.wide)), []rune(strings.Repeat(" ", t.wide))
	free := 0
	for _, k := range t.ticks(max(t.wide/10, 2)) {
		x := t.column(k.at)
		edge[x] = '+'
		if x >= free && x+len(k.text) <= t.wide {
			copy(labels[x:], []rune(k.text))
			free = x + len(k.text) + 1
		}
	}
	t.write(b, "", '+', string(edge))
	t.write(b, "", ' ', string(labels))
}

func (t *text) writeLane(b *strings.Builder, l Lane) {
	cells := []rune(strings.Repeat(" ", t.wide))
	for _, s := range l.Stretches {
		from, to := t.column(s.From), t.column(s.To-1)
		for x := from; x <= max(from, to); x++ {
			cells[x] = rune(l.Mark)
		}
	}
	t.write(b, l.Name, verticals, string(cells))
}

// writeKey says what the lines and the marks are.
func (t *text) writeKey(b *strings.Builder, width int) {
	for _, l := range t.Limits {
		line := "-----"
		if l.Guide {
			line = "-  - "
		}
		fmt.Fprintln(b, folded(line+" "+l.Says, width))
	}
	var key []string
	for _, k := range []struct {
		mark rune
		says string
	}{{reading, "reading"}, {tooCold, "too cold"}, {tooHot, "too hot"}, {joined, "between two readings"}} {
		if t.used[k.mark] {
			key = append(key, string(k.mark)+" "+k.says)
		}
	}
	key = append(key, "blank: no reading")
	for _, m := range marks {
		if slices.ContainsFunc(t.Lanes, func(l Lane) bool { return l.Mark == m.mark && len(l.Stretches) > 0 }) {
			key = append(key, string(m.mark)+" "+m.says)
		}
	}
	line := ""
	for _, k := range key {
		switch apart := "   "; {
		case line == "":
			line = k
		case utf8.RuneCountInString(line+apart+k) > width:
			fmt.Fprintln(b, line)
			line = k
		default:
			line += apart + k
		}
	}
	fmt.Fprintln(b, line)
}

// folded breaks a line at its blanks where it is too long.
func folded(s string, width int) string {
	var b strings.Builder
	for {
		r := []rune(s)
		if len(r) <= width {
			return b.String() + s
		}
		at := strings.LastIndex(string(r[:width+1]), " ")
		if at <= 0 {
			at = len(string(r[:width]))
		}
		b.WriteString(strings.TrimRight(s[:at], " ") + "\n")
		s = strings.TrimLeft(s[at:], " ")
	}
}
