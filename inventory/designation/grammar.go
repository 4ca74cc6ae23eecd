package designation

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// A grammar is what one specification says about the form and the meaning of its marks.
type grammar struct {
	spec    Spec
	pattern *regexp.Regexp
	// compact tells that spaces mean nothing and are deleted before the pattern is tried.
	compact bool
	// read fills the typed fields, the canonical form and the warnings from m.Fields.
	read func(m *Mark)
	// check says why a mark of the right form cannot exist, "" if it can.
	check func(m Mark) string
	// lacking recognises shorthand: the part that is missing, "" if text is no shorthand,
	// and a complete example.
	lacking func(text string) (missing, example string)
	// unlisted accepts marks whose token, the group named by field, is not in the tables;
	// nil where there is no table or where an unlisted token is read with a warning.
	unlisted *regexp.Regexp
	field    string
}

// allGrammars returns the grammars in the order in which they are tried. A5.17 and A5.18
// have two each, which share no mark.
func allGrammars() []grammar {
	return []grammar{
		grammarA51(), grammarA55(), grammarISO2560A(), grammarISO2560B(), grammarA54(),
		grammarA520(), grammarA536(), grammarA517(), grammarA517Wire(), grammarA518Solid(), grammarA518Cored(),
		grammarBare(A59), grammarBare(A514),
	}
}

// grammars returns the grammars in the scope of the question.
func (q query) grammars() []grammar {
	return slices.DeleteFunc(allGrammars(), func(g grammar) bool { return !q.in.allows(g.spec) })
}

// anyMeaning is the check of specifications whose form leaves nothing to contradict.
func anyMeaning(Mark) string { return "" }

// noShorthand is for specifications whose marks are whole or unreadable.
func noShorthand(string) (missing, example string) { return "", "" }

// match reads the mark by a pattern alone, without the check.
func (g grammar) match(pattern *regexp.Regexp, q query) (Mark, bool) {
	text := q.text
	if g.compact {
		text = strings.ReplaceAll(text, " ", "")
	}
	groups := pattern.FindStringSubmatch(text)
	if groups == nil {
		return Mark{}, false
	}
	m := Mark{Raw: q.label, Spec: g.spec, Fields: map[string]string{}}
	for i, name := range pattern.SubexpNames() {
		if name != "" && groups[i] != "" {
			m.Fields[name] = groups[i]
		}
	}
	m.Position = m.Fields["position"]
	m.Hydrogen = m.number("h")
	m.R = m.Fields["r"] != ""
	g.read(&m)
	return m, true
}

// number returns a field as a number, 0 if it is absent. The patterns let digits only
// reach the fields that it is called for.
func (m *Mark) number(field string) int {
	n, _ := strconv.Atoi(m.Fields[field])
	return n
}

// prefixed returns prefix and the field's value, "" if the field is absent.
func (m *Mark) prefixed(prefix, field string) string {
	if m.Fields[field] == "" {
		return ""
	}
	return prefix + m.Fields[field]
}

// designators returns the printed form of the hydrogen and moisture marks: " H4R".
func (m *Mark) designators() string {
	text := m.prefixed("H", "h") + m.Fields["r"]
	if text == "" {
		return ""
	}
	return " " + text
}

func (m *Mark) warn(text string) { m.Warnings = append(m.Warnings, text) }

func (m *Mark) warnUnlisted(field, token string) {
	m.warn(field + " " + token + " is not in the " + string(m.Spec) +
		" table: check the label against the current edition")
}
