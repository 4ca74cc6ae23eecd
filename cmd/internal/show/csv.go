package show

import (
	"encoding/csv"
	"regexp"
	"strings"
)

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

// signed is a number that may keep its sign at the front.
var signed = regexp.MustCompile(`^[+-][0-9]+([.,][0-9]+)?$`)

// Defuse keeps a spreadsheet from taking text for a formula: a cell that begins
// like one gets an apostrophe in front. Numbers stay numbers.
func Defuse(cell string) string {
	if cell == "" || !strings.ContainsRune("=+-@\t\r\n", rune(cell[0])) || signed.MatchString(cell) {
		return cell
	}
	return "'" + cell
}
