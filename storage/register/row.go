package register

import (
	"errors"
	"fmt"
	"regexp"
	"strings"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/inventory/sheet"
)

// row is one row while it is read. It keeps the first thing wrong with it.
type row struct {
	file  *file
	line  int64
	cells [][]byte
	bad   *sheet.Problem
}

// acts reads what the row tells of.
func (r *row) acts() []Act {
	kind := r.file.kind
	if kind == Log {
		what, err := ParseKind(r.text("what"))
		if err != nil || what == Oven || what == Log {
			r.wrong("what", "not a kind of row", "write stock, receiving, issue, return or bake; readings have a file of their own")
			return nil
		}
		kind = what
	}
	switch kind {
	case Stock:
		return r.stock()
	case Receiving:
		return r.receiving()
	case Issue:
		return r.issue()
	case Return:
		return r.back("", "by", 0)
	case Bake:
		return r.bake()
	case Oven, Log: // refused above, and by Read
	}
	return nil
}

// text returns what stands in a field, trimmed.
func (r *row) text(name string) string {
	if i, ok := r.file.columns.at[name]; ok && i < len(r.cells) {
		if s := strings.TrimSpace(sheet.Text(r.cells[i])); s != "" || r.file.columns.fixed[name] == "" {
			return s
		}
	}
	return r.file.columns.fixed[name]
}

// quantity returns a quantity with its unit, which a bare number takes from the
// column's header.
func (r *row) quantity(name string) string {
	s := r.text(name)
	if r.file.commas {
		s = strings.Replace(s, ",", ".", 1)
	}
	i, ok := r.file.columns.at[name]
	if ok && s != "" && r.file.columns.units[i] != "" && s[len(s)-1] >= '0' && s[len(s)-1] <= '9' {
		s += " " + r.file.columns.units[i]
	}
	return s
}

// count reads a number of pieces; an empty cell is none.
func (r *row) count(name string) inventory.Count {
	s := r.text(name)
	if s == "" || s == "-" {
		return 0
	}
	n, err := inventory.ParseCount(s)
	if err != nil {
		r.refused(name, err)
	}
	return n
}

// day reads a date into its ISO form by the layout of the file's times.
func (r *row) day(name string) string {
	s := r.text(name)
	if s == "" {
		return ""
	}
	if d, err := measure.ParseDate(s); err == nil {
		return string(d)
	}
	d, err := r.file.clock.Day(s)
	if err != nil {
		r.wrong(name, err.Error(), "write year-month-day such as 2025-06-05, or give --layout")
	}
	return string(d)
}

// instant reads the time of a field, with the date of another before it where
// they stand apart.
func (r *row) instant(date, clock string) measure.Instant {
	d, c := r.text(date), r.text(clock)
	switch {
	case c == "":
		r.wrong(clock, "no time", fmt.Sprintf("write when it was, or give one time for all rows with --set \"%s=08:00\"", clock))
		return 0
	case d != "":
		c = d + " " + c
	}
	at, err := r.file.clock.Instant(c)
	if err == nil {
		return at
	}
	r.wrong(clock, because(err), nextFor(err))
	if r.bad != nil && r.bad.Column == r.column(clock) {
		r.bad.Value = c
	}
	return 0
}

// clockOnly is a time of day without a date.
var clockOnly = regexp.MustCompile(`^\d{1,2}:\d{2}(:\d{2})?$`)

// later reads the time of a second thing that a row tells of. Where its date
// does not stand there it is that of the first, or the day after where the clock
// shows an earlier time: a night shift's return has the next day's date, and
// nothing comes back before it went out.
func (r *row) later(date, clock string, first measure.Instant) measure.Instant {
	c := r.text(clock)
	if r.text(date) != "" || first == 0 || !clockOnly.MatchString(c) {
		return r.instant(date, clock)
	}
	at, err := r.file.clock.SameDay(first, c)
	if err == nil && at < first {
		at, err = r.file.clock.NextDay(at)
	}
	if err != nil {
		r.wrong(clock, because(err), nextFor(err))
	}
	return at
}

// because puts an error into words that do not repeat its value.
func because(err error) string {
	if u, ok := errors.AsType[*measure.UnitError](err); ok {
		return u.Why
	}
	why, _, _ := strings.Cut(err.Error(), ": write ")
	return why
}

func nextFor(err error) string {
	if u, ok := errors.AsType[*measure.UnitError](err); ok {
		return "write " + u.Write + ", or give --layout"
	}
	if _, next, ok := strings.Cut(err.Error(), ": write "); ok {
		return "write " + next
	}
	return "write the time again, or give --layout as the file writes it"
}

func (r *row) column(name string) string {
	if i, ok := r.file.columns.at[name]; ok && r.file.columns.header[i] != "" {
		return r.file.columns.header[i]
	}
	return name
}

// wrong keeps the first fault of the row.
func (r *row) wrong(name, why, next string) {
	if r.bad == nil {
		r.bad = &sheet.Problem{Line: r.line, Column: r.column(name), Value: clip(r.text(name)), Why: why, Next: next}
	}
}

func clip(s string) string { return sheet.Clip([]byte(s)) }

// refused keeps the refusal of a field.
func (r *row) refused(name string, err error) {
	if ref, ok := errors.AsType[*inventory.Refusal](inventory.FieldRefusal(name, err)); ok {
		r.wrong(name, ref.Why, ref.Next)
		return
	}
	r.wrong(name, err.Error(), "")
}
