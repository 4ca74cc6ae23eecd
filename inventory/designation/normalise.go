package designation

import (
	"regexp"
	"strings"
	"unicode"
)

// longest is the number of bytes above which text is not looked at as a mark. The longest
// real labels, two full marks with their specifications, stay below half of it.
const longest = 200

var aroundSigns = regexp.MustCompile(` *([-/]) *`)

// normalise brings text into the form the patterns expect: upper case, one kind of dash,
// slash and space, no double spaces and no spaces around dash and slash. Doing it twice
// changes nothing.
func normalise(text string) string {
	text = strings.ToUpper(strings.Map(plainRune, text))
	text = strings.Join(strings.Fields(text), " ")
	return aroundSigns.ReplaceAllString(text, "$1")
}

// plainRune maps the typographic signs that labels, PDF files and scanners produce to their
// plain counterparts and drops signs without width.
func plainRune(r rune) rune {
	switch {
	case r == '\u2212', r == '\u00AD', r == '\uFE63', unicode.Is(unicode.Pd, r):
		return '-' // minus sign, soft hyphen, small hyphen, every dash
	case r == '\u2044', r == '\u2215', r == '\uFF0F':
		return '/' // fraction slash, division slash, full-width slash
	case r == '\u200B', r == '\u2060', r == '\uFEFF':
		return -1 // zero-width space, word joiner, byte order mark
	case unicode.IsSpace(r):
		return ' '
	}
	return r
}

// startsMark tells whether text begins as marks do, with E or F, behind the specification
// that it may name.
func startsMark(text string) bool {
	_, text, _ = header(normalise(text))
	return strings.HasPrefix(text, "E") || strings.HasPrefix(text, "F")
}
