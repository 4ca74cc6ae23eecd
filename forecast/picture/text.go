package picture

import (
	"fmt"
	"math"
	"strings"
)

// The marks of a line.
const (
	markLikely = '#'
	markHigh   = '-'
	markStock  = '|'
)

// Text draws the items as lines of text, one a week, each at most so wide. The
// stock's mark stands at the edge where more is on the shelf than the line can
// show.
func Text(all []Outlook, width int) string {
	var b strings.Builder
	for i, o := range all {
		if i > 0 {
			b.WriteByte('\n')
		}
		fmt.Fprintf(&b, "%s, %s\n", o.Item, o.Unit)
		o.lines(&b, width)
	}
	if len(all) > 0 {
		b.WriteString("\n" + legend(ranged(all)) + "\n")
	}
	return b.String()
}

func legend(ranged bool) string {
	s := "# needed"
	if ranged {
		s = "# needed half of the time (P50), - nine times of ten (P90)"
	}
	return s + "\n| usable stock as the week begins, > more of it than is drawn"
}

func (o Outlook) lines(b *strings.Builder, width int) {
	label := 0
	for _, w := range o.Weeks {
		label = max(label, len(w.Label))
	}
	const figures = 42 // "99999 to 99999 of 99999  may be short" and room
	bar := max(10, width-label-figures)
	for _, w := range o.Weeks {
		fmt.Fprintf(b, "%-*s %s %s\n", label, w.Label, o.bar(w, bar), w.says())
	}
}

// bar draws one week so that the largest need of the item fills four fifths.
func (o Outlook) bar(w Week, width int) string {
	top := o.top()
	if top == 0 {
		top = 1
	}
	place := func(x float64) int { return int(math.Round(x / top * float64(width) * 0.8)) }
	line := []rune(strings.Repeat(" ", width+1))
	for i := range min(place(w.high()), width) {
		line[i] = markHigh
		if i < place(w.Likely) {
			line[i] = markLikely
		}
	}
	if w.Likely > 0 && place(w.Likely) == 0 {
		line[0] = markLikely // what is needed is seen, however little
	}
	if at := place(w.Stock); at <= width {
		line[at] = markStock
	} else {
		line[width] = '>'
	}
	return string(line)
}

// says prints the figures, and how the week stands.
func (w Week) says() string {
	need := amount(w.Likely)
	if w.high() > w.Likely {
		need += " to " + amount(w.high())
	}
	s := need + " of " + amount(w.Stock)
	switch {
	case w.Short():
		return s + "  SHORT"
	case w.Doubtful():
		return s + "  may be short"
	}
	return s
}

// amount prints whole rods whole, and parts of a kilogram with one place.
func amount(x float64) string {
	if x == math.Trunc(x) {
		return fmt.Sprintf("%.0f", x)
	}
	return fmt.Sprintf("%.1f", x)
}
