package show

import (
	"slices"
	"strings"

	"github.com/jedib0t/go-pretty/v6/text"
)

// units are not parted from the number in front of them: "1/8" and "in" on two
// lines are read as two things.
var units = []string{"in", "mm", "g", "kg", "lb", "°C", "°F", "C", "F", "s", "min", "h", "rods"}

// words parts a cell where a line may end.
func words(cell string) []string {
	var out []string
	for w := range strings.FieldsSeq(cell) {
		last := len(out) - 1
		if last >= 0 && slices.Contains(units, strings.Trim(w, ",.;:)")) && endsInNumber(out[last]) {
			out[last] += " " + w
			continue
		}
		out = append(out, w)
	}
	return out
}

func endsInNumber(word string) bool {
	last := word[strings.LastIndexByte(word, ' ')+1:]
	return last[0] >= '0' && last[0] <= '9'
}

// wrap breaks a cell into lines no longer than width, between words. A word
// that is longer has a line of its own.
func wrap(cell string, width int) string {
	if text.LongestLineLen(cell) <= width {
		return cell
	}
	var lines []string
	for _, w := range words(cell) {
		last := len(lines) - 1
		if last >= 0 && text.LongestLineLen(lines[last])+1+text.LongestLineLen(w) <= width {
			lines[last] += " " + w
			continue
		}
		lines = append(lines, w)
	}
	return strings.Join(lines, "\n")
}
