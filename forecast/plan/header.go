package plan

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"ovenward/forecast/joint"
	"ovenward/inventory/measure"
)

// mostPasses bounds the items of one joint: item1 to item9.
const mostPasses = 9

// column is one column of the file.
type column struct {
	name string // without unit, lower case
	unit string // of its header; empty if the cells carry theirs
	pass int    // 1 to mostPasses for item, size, share and the others of a pass, else 0
	size joint.Field
	set  func(d *draft, c column, cell string)
}

// setter returns what the cells of a column do, by its name without a pass's
// number; nil for a name that is unknown.
func setter(base string) func(*draft, column, string) {
	switch base {
	case "job":
		return (*draft).setJob
	case "joint":
		return (*draft).setID
	case "week":
		return (*draft).setWeek
	case "prep":
		return (*draft).setPreparation
	case "angle", "angle2":
		return (*draft).setAngle
	case "position":
		return (*draft).setPosition
	case "cap_form":
		return (*draft).setCapForm
	case "side":
		return (*draft).setSide
	case "backing":
		return (*draft).setBacking
	case "quantity":
		return (*draft).setQuantity
	case "done":
		return (*draft).setDone
	case "notes":
		return (*draft).ignore
	}
	if _, ok := joint.FieldOf(base); ok {
		return (*draft).setLength
	}
	return nil
}

// passSetter is setter for the columns that carry a pass's number.
func passSetter(base string) func(*draft, column, string) {
	switch base {
	case "item":
		return (*draft).setItem
	case "size":
		return (*draft).setSize
	case "share":
		return (*draft).setShare
	case "beads":
		return (*draft).setBeads
	case "layers":
		return (*draft).setLayers
	case "flux":
		return (*draft).setFlux
	case "flux_ratio":
		return (*draft).setFluxRatio
	case "efficiency":
		return (*draft).setEfficiency
	}
	return nil
}

// required returns the columns that a plan must have.
func required() []string {
	return []string{"job", "joint", "week", "prep", "quantity", "item1", "size1"}
}

// Columns returns the names of the columns that Read knows, those of the passes
// once with the number 1. A plan may have notes for its own readers.
func Columns() []string {
	names := []string{"job", "joint", "week", "prep"}
	for _, f := range joint.Fields() {
		names = append(names, f.String())
	}
	return append(names, "angle", "angle2", "backing", "cap_form", "side",
		"position", "quantity", "item1", "size1", "share1", "beads1", "layers1",
		"flux1", "flux_ratio1", "efficiency1", "done", "notes")
}

var (
	unitInHeader = regexp.MustCompile(`^(.*?)\s*[\(\[]\s*([^)\]]*?)\s*[\)\]]$`)
	passColumn   = regexp.MustCompile(`^(item|size|share|beads|layers|flux|flux_ratio|efficiency)([1-9])$`)
)

// readHeader finds the columns. The error is a *ColumnError.
func readHeader(cells []string) ([]column, error) {
	cells = trimTail(cells)
	columns := make([]column, 0, len(cells))
	for _, text := range cells {
		c, why := readColumn(text)
		if why == "" && slices.ContainsFunc(columns, func(o column) bool { return o.name == c.name }) {
			why = "there twice"
		}
		if why != "" {
			return nil, &ColumnError{Column: text, Why: why, Found: cells}
		}
		columns = append(columns, c)
	}
	for _, name := range required() {
		if !slices.ContainsFunc(columns, func(c column) bool { return c.name == name }) {
			return nil, &ColumnError{Column: name, Why: "missing", Found: cells}
		}
	}
	return columns, nil
}

// readColumn reads one cell of the header; why is empty if it can be used.
func readColumn(text string) (c column, why string) {
	c.name = strings.ToLower(strings.TrimSpace(text))
	if m := unitInHeader.FindStringSubmatch(c.name); m != nil {
		c.name, c.unit = m[1], m[2]
	}
	name, behind := called(c.name)
	if c.name = name; c.unit == "" {
		c.unit = behind
	}
	if word, ok := unitWords[c.unit]; ok {
		c.unit = word
	}
	base := c.name
	c.set = setter(base)
	c.size, _ = joint.FieldOf(base)
	if m := passColumn.FindStringSubmatch(c.name); m != nil {
		base, c.pass = m[1], int(m[2][0]-'0')
		c.set = passSetter(base)
	}
	switch {
	case c.name == "":
		return c, "has no name"
	case c.set == nil:
		return c, "unknown"
	}
	return c, c.checkUnit(base)
}

// checkUnit refuses a unit that the column's cells cannot have.
func (c column) checkUnit(base string) string {
	if c.unit == "" {
		return ""
	}
	if _, ok := joint.FieldOf(base); ok || base == "size" {
		if _, err := measure.ParseLength("1 " + c.unit); err != nil {
			return fmt.Sprintf("%q is no unit of length; write mm or in", c.unit)
		}
		return ""
	}
	switch base {
	case "angle", "angle2":
		if c.unit != "deg" && c.unit != "°" {
			return "an angle is in deg"
		}
	case "share":
		if c.unit != "%" {
			return "a share is in %, or without a unit a part of 1"
		}
	default:
		return "has no unit"
	}
	return ""
}

// trimTail drops the empty cells that spreadsheets leave at the end of a row.
func trimTail(cells []string) []string {
	for len(cells) > 0 && strings.TrimSpace(cells[len(cells)-1]) == "" {
		cells = cells[:len(cells)-1]
	}
	return cells
}
