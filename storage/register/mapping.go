package register

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"ovenward/inventory/sheet"
)

// Mapping says how the columns of a file are read.
type Mapping struct {
	Columns      []Pair // columns by their name in the header, or their number from 1
	Fixed        []Pair // fields with one value for every row
	Layout       string // of times, see feed.Layouts
	DecimalComma bool   // a comma is a decimal mark even before three digits
}

// Pair is a column with the field that it is read as, or a field with its
// value for every row. The field "-" is none: the column is left out.
type Pair struct{ From, To string }

// ParsePairs reads "Date out=date,Qty=pieces", or one pair a line, where "#"
// begins a remark. A comma or an equals sign of a name stands between quotation
// marks.
func ParsePairs(text string) ([]Pair, error) {
	var out []Pair
	for line := range strings.Lines(text) {
		line, _, _ = strings.Cut(line, "#")
		for _, part := range splitOutside(line, ',') {
			if strings.TrimSpace(part) == "" {
				continue
			}
			sides := splitOutside(part, '=')
			if len(sides) != 2 {
				return nil, fmt.Errorf("%q: write column=field, such as \"Date out=date\"", strings.TrimSpace(part))
			}
			p := Pair{unquote(sides[0]), unquote(sides[1])}
			if p.From == "" || p.To == "" {
				return nil, fmt.Errorf("%q: one side of the equals sign is empty; write column=field", strings.TrimSpace(part))
			}
			out = append(out, p)
		}
	}
	return out, nil
}

// splitOutside splits at a sign that is not between quotation marks.
func splitOutside(s string, at byte) []string {
	var out []string
	quoted, from := false, 0
	for i := range len(s) {
		switch {
		case s[i] == '"':
			quoted = !quoted
		case s[i] == at && !quoted:
			out = append(out, s[from:i])
			from = i + 1
		}
	}
	return append(out, s[from:])
}

func unquote(s string) string { return strings.TrimSpace(strings.Trim(strings.TrimSpace(s), `"`)) }

// MappingError reports a column or a field that is not there.
type MappingError struct {
	Name string // the column or field
	Why  string
	Next string
}

// Error names the column or field.
func (e *MappingError) Error() string { return fmt.Sprintf("%q: %s", e.Name, e.Why) }

// Hint returns the next step.
func (e *MappingError) Hint() string { return e.Next }

// columns are the places of a row's fields.
type columns struct {
	header []string // as the file writes them
	units  []string // of each column, from its header
	at     map[string]int
	fixed  map[string]string
	taken  []bool // columns that a field is read from, or that are left out on purpose
}

// find finds the column of each field: those of the mapping first, then those
// that have the name of a field or a usual other word for it.
func find(header [][]byte, k Kind, m Mapping) (*columns, error) {
	c := &columns{at: map[string]int{}, fixed: map[string]string{}, taken: make([]bool, len(header)),
		units: make([]string, len(header))}
	for i, cell := range header {
		c.header = append(c.header, sheet.Text(sheet.Trim(cell)))
		c.units[i] = unitOf(c.header[i])
	}
	for _, p := range m.Columns {
		if err := c.assign(k, p); err != nil {
			return nil, err
		}
	}
	for _, p := range m.Fixed {
		name, err := field(k, p.From)
		if err != nil {
			return nil, err
		}
		c.fixed[name] = p.To
	}
	c.byName(k)
	return c, c.complete(k)
}

func (c *columns) assign(k Kind, p Pair) error {
	i, err := c.column(p.From)
	if err != nil {
		return err
	}
	c.taken[i] = true
	if p.To == "-" {
		return nil
	}
	name, err := field(k, p.To)
	if err != nil {
		return err
	}
	if _, twice := c.at[name]; twice {
		return &MappingError{name, "two columns are to be read as it", "name one of them"}
	}
	c.at[name] = i
	return nil
}

// column finds a column by its name in any case, with or without the unit
// behind it, or by its number from 1.
func (c *columns) column(want string) (int, error) {
	var found []int
	for _, plain := range []func(string) string{plainName, withoutUnit} {
		for i, h := range c.header {
			if plain(h) == plainName(want) {
				found = append(found, i)
			}
		}
		if len(found) > 0 {
			break
		}
	}
	switch n, err := strconv.Atoi(want); {
	case len(found) == 1:
		return found[0], nil
	case len(found) > 1:
		return 0, &MappingError{want, "the column stands more than once", "give its number, counted from 1"}
	case err == nil && n >= 1 && n <= len(c.header):
		return n - 1, nil
	}
	return 0, &MappingError{want, "the file has no such column", "it has " + quotedList(c.header)}
}

// byName gives the columns that no mapping names to the fields that they are
// called after. Two that would be one field are left alone.
func (c *columns) byName(k Kind) {
	found := map[string][]int{}
	for i, h := range c.header {
		if name, err := field(k, withoutUnit(h)); err == nil && !c.taken[i] && h != "" {
			found[name] = append(found[name], i)
		}
	}
	for _, name := range slices.Sorted(maps.Keys(found)) {
		_, mapped := c.at[name]
		_, fixed := c.fixed[name]
		if len(found[name]) == 1 && !mapped && !fixed {
			c.at[name] = found[name][0]
			c.taken[found[name][0]] = true
		}
	}
}

// complete refuses a register that lacks what every row of it must have.
func (c *columns) complete(k Kind) error {
	for _, f := range k.Fields() {
		_, column := c.at[f.Name]
		_, fixed := c.fixed[f.Name]
		if f.Must && !column && !fixed {
			return &MappingError{f.Name, "no column is read as it: " + f.Says,
				fmt.Sprintf("name it with --map \"COLUMN=%s\", or one value for all rows with --set \"%s=VALUE\"; the file has %s",
					f.Name, f.Name, quotedList(c.header))}
		}
	}
	return nil
}

// names returns the columns of the fields, for messages.
func (c *columns) names() map[string]string {
	out := map[string]string{}
	for name, i := range c.at {
		if out[name] = c.header[i]; out[name] == "" {
			out[name] = fmt.Sprint(i + 1)
		}
	}
	return out
}

// others are words that registers use for a field; of several the first counts
// that the kind has.
var others = map[string][]string{
	"classification": {"class"}, "size": {"diameter"}, "dia": {"diameter"},
	"heat": {"lot"}, "batch": {"lot"}, "heat number": {"lot"}, "lot number": {"lot"}, "lot no": {"lot"},
	"quantity": {"pieces"}, "qty": {"pieces"}, "rods": {"pieces"},
	"stamp": {"welder"}, "symbol": {"welder"}, "welder symbol": {"welder"},
	"time out": {"end", "time"}, "time in": {"back time", "time"},
	"oven": {"place"}, "location": {"place"}, "store location": {"place"},
	"joint": {"joints"}, "weld": {"joints"}, "portable oven": {"holder"}, "quiver": {"holder"},
	"issued by": {"by"}, "received by": {"by"}, "counted by": {"by"}, "done by": {"by"},
	"returned": {"unused"}, "manufactured": {"made"}, "expiry": {"expires"},
	"slip number": {"slip"}, "slip no": {"slip"}, "temperature": {"temp"}, "bake temperature": {"set"},
	"package kind": {"package"}, "condition": {"found"},
}

// field returns the field of a name or of another word for it. A mixed log has
// too many fields for other words to be clear.
func field(k Kind, name string) (string, error) {
	words := []string{plainName(name)}
	if k != Log {
		words = append(words, others[words[0]]...)
	}
	var all []string
	for _, word := range words {
		for _, f := range k.Fields() {
			if plainName(f.Name) == word {
				return f.Name, nil
			}
		}
	}
	for _, f := range k.Fields() {
		all = append(all, f.Name)
	}
	return "", &MappingError{name, fmt.Sprintf("the %s register has no such field", k), "it has " + strings.Join(all, ", ")}
}

// plainName is a name in lower case with single spaces.
func plainName(s string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return r == ' ' || r == '_' || r == '.' || r == '\t' }), " ")
}

var inBrackets = regexp.MustCompile(`^(.*?)\s*[\(\[]\s*([^)\]]*?)\s*[\)\]]$`)

func withoutUnit(header string) string {
	if m := inBrackets.FindStringSubmatch(strings.TrimSpace(header)); m != nil {
		return plainName(m[1])
	}
	return plainName(header)
}

// unitOf returns what a header says in brackets.
func unitOf(header string) string {
	if m := inBrackets.FindStringSubmatch(strings.TrimSpace(header)); m != nil {
		return m[2]
	}
	return ""
}

func quotedList(names []string) string {
	out := make([]string, len(names))
	for i, n := range names {
		out[i] = fmt.Sprintf("%q", n)
	}
	return strings.Join(out, ", ")
}
