package register

import (
	"encoding/csv"
	"fmt"
	"strings"
)

// Template returns a register of a kind with all of its columns and one
// invented row, which Read reads without a problem.
func Template(k Kind) string {
	var b strings.Builder
	w := csv.NewWriter(&b)
	var head, row []string
	for _, f := range k.Fields() {
		head, row = append(head, f.Name), append(row, f.Shown)
	}
	if k == Log {
		row = logExample(head)
	}
	for _, cells := range [][]string{head, row} {
		if err := w.Write(cells); err != nil {
			panic(fmt.Sprintf("template of the %s register: %v", k, err)) // a cell that no CSV can hold
		}
	}
	w.Flush()
	return b.String()
}

// logExample is the issue of the issue register's own example.
func logExample(head []string) []string {
	shown := map[string]string{"what": string(Issue)}
	for _, f := range Issue.Fields() {
		shown[f.Name] = f.Shown
	}
	row := make([]string, len(head))
	for i, name := range head {
		row[i] = shown[name]
	}
	return row
}
