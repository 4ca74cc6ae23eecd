package plan

import (
	"fmt"
	"slices"
	"strings"

	"ovenward/forecast/joint"
)

// draft is a row while its cells are read.
type draft struct {
	row      int
	joint    joint.Joint
	passes   [mostPasses]pass
	done     bool // the joint is welded
	problems []Problem
	known    *memo // of the file
}

// pass is what the cells of one item say.
type pass struct {
	joint.Pass
	item, size, amount bool // whether the cells are given
	flux, ratio        bool
}

// longestText bounds a name. Longer ones come from a quotation mark that was
// forgotten and swallowed the next rows.
const longestText = 200

// read reads the cells of a row.
func (d *draft) read(columns []column, cells []string) {
	if n := len(cells); n < len(columns) {
		d.problem(columns[n].name, "", fmt.Sprintf("the row has %d cells and the header %d", n, len(columns)),
			"every cell of the row, empty ones too")
		return
	}
	if n := len(trimTail(cells)); n > len(columns) {
		d.problem("after "+columns[len(columns)-1].name, cells[len(columns)],
			fmt.Sprintf("the row has %d cells and the header %d", n, len(columns)),
			"decimals with a point, or the cell in quotation marks")
		return
	}
	for i, c := range columns {
		cell := strings.TrimSpace(cells[i])
		switch {
		case cell == "":
		case !printable(cell):
			d.problem(c.name, cell, "not plain UTF-8 text in one line", "the text again, and save as CSV UTF-8")
		case len(cell) > longestText:
			d.problem(c.name, strings.ToValidUTF8(cell[:20], "")+"...",
				fmt.Sprintf("longer than %d bytes", longestText), "a shorter text")
		case cell[0] == '=' || cell[0] == '@':
			d.problem(c.name, cell, "a formula, which is not evaluated", "its value")
		default:
			c.set(d, c, cell)
		}
	}
}

// finish checks what a row as a whole must have and returns the joint.
func (d *draft) finish() joint.Joint {
	j := &d.joint
	if len(d.problems) == 0 {
		d.need("job", j.Job != "", "the job")
		d.need("joint", j.ID != "", "the number of the joint on the drawing")
		d.need("week", j.Week.Year != 0, "the week or the day in which welding starts, such as 2026-W49")
		d.need("prep", j.Preparation != "", "the preparation, such as fillet")
		d.need("quantity", j.Quantity != 0, "how many equal joints")
	}
	for i, p := range d.passes {
		n := i + 1
		switch {
		case p.ratio && !p.flux:
			d.need(fmt.Sprintf("flux%d", n), false, "the class of the flux, such as F7A2-EM12K")
		case p.item && p.size:
			j.Passes = append(j.Passes, p.Pass)
		case p.item:
			d.need(fmt.Sprintf("size%d", n), false, "the diameter of the rods or wire, such as 1/8 in or 3.2 mm")
		case p.size || p.amount || p.flux || p.Efficiency > 0:
			d.need(fmt.Sprintf("item%d", n), false, "the class of the rods, such as E7018")
		}
	}
	return *j
}

// need reports an empty cell that must not be, unless the cell has a problem
// already.
func (d *draft) need(name string, given bool, write string) {
	if !given && !slices.ContainsFunc(d.problems, func(p Problem) bool { return p.Column == name }) {
		d.problem(name, "", "empty", write)
	}
}

func (d *draft) problem(column, value, reason, write string) {
	d.problems = append(d.problems, Problem{Row: d.row, Column: column, Value: value, Reason: reason, Write: write})
}
