package rules

import (
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"unicode"

	"github.com/BurntSushi/toml"
)

// page is the text of a rule file by tables, to tell a person where a fault is.
// The decoder knows the place of a key only by its name, and every row has the
// same names.
type page struct {
	file   string
	text   string
	tables []table
	told   map[string]int // by key: how many of its places were told already
}

// table is one [table] or [[row]] of the file. The first has no name and holds
// what stands above all others.
type table struct {
	name  string
	row   string
	line  int // of its header, from 1
	lines []string
	keys  map[string]int // lines, from 1
}

func newPage(file, text string) *page {
	p := &page{file: file, text: text, told: map[string]int{}}
	now := table{line: 1, keys: map[string]int{}}
	for i, line := range strings.Split(text, "\n") {
		trimmed := strings.TrimSpace(line)
		if strings.HasPrefix(trimmed, "[") {
			p.tables = append(p.tables, now)
			name, _, _ := strings.Cut(trimmed, "#")
			now = table{name: strings.Trim(name, "[] \t"), line: i + 1, keys: map[string]int{}}
		} else if key, value, found := strings.Cut(trimmed, "="); found {
			key = strings.Trim(key, ` "'`)
			now.keys[key] = i + 1
			if key == "row" {
				now.row = unquoted(value)
			}
		}
		now.lines = append(now.lines, line)
	}
	p.tables = append(p.tables, now)
	return p
}

// unquoted returns the text between the first two quotes, fit to be printed.
func unquoted(value string) string {
	parts := strings.FieldsFunc(value, func(r rune) bool { return r == '"' || r == '\'' })
	if len(parts) < 2 {
		return ""
	}
	return strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) {
			return -1
		}
		return r
	}, parts[1])
}

// rowLine returns the line of a row's name, of the last such row; zero where
// there is none.
func (p *page) rowLine(name string) int {
	line := 0
	for _, t := range p.tables {
		if t.row == name && name != "" {
			line = t.keys["row"]
		}
	}
	return line
}

// keyLine returns the line of a key of the set itself, "clock.policy" or "id";
// zero where it does not stand there.
func (p *page) keyLine(key string) int {
	name := ""
	if i := strings.LastIndexByte(key, '.'); i >= 0 {
		name, key = key[:i], key[i+1:]
	}
	for _, t := range p.tables {
		if line := t.keys[key]; t.name == name && line > 0 {
			return line
		}
	}
	return 0
}

// next returns the next place of a key or a table that was not told yet, and
// the row it stands in. A key inside { } is found by the line of the key that
// holds it.
func (p *page) next(key toml.Key) (line int, row string) {
	for _, t := range p.tables {
		if t.name == key.String() {
			return t.line, t.row
		}
	}
	last := key[len(key)-1]
	for n := len(key) - 1; n >= 0; n-- {
		skip := p.told[key.String()]
		for _, t := range p.tables {
			at := t.keys[key[n]]
			if t.name != strings.Join(key[:n], ".") || at == 0 || !strings.Contains(t.lines[at-t.line], last) {
				continue
			}
			if skip == 0 {
				p.told[key.String()]++
				return at, t.row
			}
			skip--
		}
	}
	return 0, ""
}

// decodeError says which line and row the decoder could not read, and why. Each
// table is read by itself, because the decoder names the last row that has the
// key.
func (p *page) decodeError(err error) error {
	for _, t := range p.tables {
		text := strings.Join(t.lines, "\n")
		_, wrong := toml.Decode(text, new(Set))
		if wrong == nil {
			continue
		}
		line, key, why := said(wrong)
		if _, syntax := toml.Decode(text, new(map[string]any)); syntax != nil {
			why = "cannot be read: " + why
		} else if key != "" {
			why = key[strings.LastIndexByte(key, '.')+1:] + ": " + why
		}
		if line > 0 {
			line += t.line - 1
		}
		return &FileError{File: p.file, Line: line, Row: t.row, Why: why}
	}
	line, _, why := said(err)
	return &FileError{File: p.file, Line: line, Why: "cannot be read: " + why}
}

// atKey matches the decoder's errors that are no toml.ParseError.
var atKey = regexp.MustCompile(`^toml: (?:line (\d+) )?(?:\(last key "([^"]*)"\): )?(.*)$`)

// said takes the decoder's error apart.
func said(err error) (line int, key, why string) {
	if p, ok := errors.AsType[toml.ParseError](err); ok {
		return p.Position.Line, p.LastKey, p.Message
	}
	m := atKey.FindStringSubmatch(err.Error())
	if m == nil {
		return 0, "", err.Error()
	}
	line, _ = strconv.Atoi(m[1])
	why = m[3]
	types := strings.TrimPrefix(why, "incompatible types: TOML value has type ")
	if is, asked, ok := strings.Cut(types, "; destination has type "); ok {
		why = fmt.Sprintf("is %s where %s is asked for", plain(is), plain(asked))
	}
	return line, m[2], why
}

// plain returns the decoder's word for a type in plain words.
func plain(kind string) string {
	switch {
	case strings.HasPrefix(kind, "int"):
		return "a whole number"
	case strings.HasPrefix(kind, "float"):
		return "a number"
	case strings.HasPrefix(kind, "bool"):
		return "true or false"
	case strings.HasPrefix(kind, "map"):
		return "a table"
	case strings.HasPrefix(kind, "[]"), kind == "slice", kind == "array":
		return "a list"
	case kind == "string":
		return "a text"
	}
	return kind
}
