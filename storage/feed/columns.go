package feed

import (
	"fmt"
	"strconv"
	"strings"

	"ovenward/inventory/sheet"
)

// columns are the places of a row's cells, counted from 0.
type columns struct {
	time, value       int
	date, sensor      int // -1 without one
	humidity, weather int // -1 without one
	last              int // the rightmost of them
	width             int // cells of the first row, without empty ones at its end
	names             []string
	numbered          bool // all are given by number, so there may be no header
}

// find finds the columns of a mapping in the first row.
func (c *columns) find(header [][]byte, m Mapping) (err error) {
	c.names = make([]string, len(header))
	for i, cell := range header {
		c.names[i] = sheet.Text(sheet.Trim(cell))
		if c.names[i] != "" {
			c.width = i + 1
		}
	}
	c.numbered, c.date, c.sensor, c.humidity, c.weather = true, -1, -1, -1, -1
	if c.time, err = c.column("time", m.Time); err != nil {
		return err
	}
	if c.value, err = c.column("value", m.Value); err != nil {
		return err
	}
	if m.Sensor != "" {
		if c.sensor, err = c.column("sensor", m.Sensor); err != nil {
			return err
		}
	}
	if m.Date != "" {
		if c.date, err = c.column("date", m.Date); err != nil {
			return err
		}
	}
	if c.time == c.value || c.time == c.sensor || c.value == c.sensor {
		return c.fault("value", m.Value, "time, value and sensor are in columns of their own")
	}
	if err := c.findAir(m); err != nil {
		return err
	}
	c.last = max(c.time, c.value, c.date, c.sensor, c.humidity, c.weather)
	return nil
}

// findAir finds the columns of what is read of the air besides its temperature.
func (c *columns) findAir(m Mapping) (err error) {
	if m.Humidity != "" {
		if c.humidity, err = c.column("humidity", m.Humidity); err != nil {
			return err
		}
	}
	if m.Weather != "" {
		if c.weather, err = c.column("weather", m.Weather); err != nil {
			return err
		}
	}
	for _, other := range []int{c.time, c.value, c.date, c.sensor, c.weather} {
		if c.humidity >= 0 && c.humidity == other {
			return c.fault("humidity", m.Humidity, "it has a column of its own")
		}
	}
	return nil
}

// column finds one column. A number is always a number, because in a file
// without a header a figure of the first row may look like it.
func (c *columns) column(role, want string) (int, error) {
	if strings.TrimSpace(want) == "" {
		return 0, c.fault(role, want, "no column is named")
	}
	if n, err := strconv.Atoi(strings.TrimSpace(want)); err == nil {
		if n < 1 || n > len(c.names) {
			return 0, c.fault(role, want, fmt.Sprintf("there are %d columns", len(c.names)))
		}
		return n - 1, nil
	}
	c.numbered = false
	for _, plain := range []func(string) string{strings.TrimSpace, withoutRemark} {
		switch found := c.named(want, plain); len(found) {
		case 0:
		case 1:
			return found[0], nil
		default:
			return 0, c.fault(role, want, "it stands more than once; give its number")
		}
	}
	return 0, c.fault(role, want, "not found")
}

// named returns the columns of a name.
func (c *columns) named(want string, plain func(string) string) []int {
	var found []int
	for i, name := range c.names {
		if strings.EqualFold(spaced(plain(name)), spaced(want)) {
			found = append(found, i)
		}
	}
	return found
}

func withoutRemark(header string) string {
	name, _ := cutRemark(header)
	return name
}

func spaced(s string) string { return strings.Join(strings.Fields(s), " ") }

func (c *columns) fault(role, want, why string) error {
	return &ColumnError{For: role, Want: want, Why: why, Found: c.names}
}

// fits checks the number of cells of a row. A row that is wider than the header
// is bad, because a decimal comma in a file with commas shifts its cells.
func (c *columns) fits(cells [][]byte, line int64, unfinished bool) *RowError {
	n := len(cells)
	if n <= c.last || (unfinished && n < c.width) {
		return &RowError{Line: line, Value: sheet.Clip(cells[n-1]), short: true,
			Why: fmt.Sprintf("%d cells instead of %d", n, max(c.width, c.last+1))}
	}
	if wide := max(c.width, c.last+1); n > wide && !sheet.Blank(cells[wide:]) {
		return &RowError{Line: line, Value: sheet.Clip(cells[wide]),
			Why: fmt.Sprintf("%d cells instead of %d; a decimal comma is quoted where commas part the cells", n, wide)}
	}
	return nil
}

// bad is the error of one cell.
func (c *columns) bad(i int, cells [][]byte, line int64, err error) *RowError {
	name := fmt.Sprint(i + 1)
	if i < len(c.names) && c.names[i] != "" {
		name = c.names[i]
	}
	return &RowError{Line: line, Column: name, Value: sheet.Clip(sheet.Trim(cells[i])), Why: because(err), err: err}
}
