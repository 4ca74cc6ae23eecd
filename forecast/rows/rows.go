// Package rows says where in a file of tables a row or a key stands, so that an
// error can name the line to mend.
package rows

import (
	"fmt"
	"regexp"
	"strings"

	"github.com/BurntSushi/toml"
)

// Text is the text of a file of tables in TOML.
type Text string

// At prints the place of the n-th row of a table, counted from 0: "line 12, rod
// row 2 (E7018 1/8 in)". The line is left out where the rows are not headed by
// [[rod]], and the label where it is empty.
func (t Text) At(table string, n int, label string) string {
	at := fmt.Sprintf("%s row %d", table, n+1)
	if label = strings.TrimSpace(label); label != "" {
		at += " (" + label + ")"
	}
	if line := t.row(table, n); line > 0 {
		at = fmt.Sprintf("line %d, %s", line, at)
	}
	return at
}

// row returns the line of the n-th row of a table; zero where it is not found.
func (t Text) row(table string, n int) int {
	head := regexp.MustCompile(`^\s*\[\[\s*"?` + regexp.QuoteMeta(table) + `"?\s*\]\]`)
	at := 0
	for line := range strings.Lines(string(t)) {
		at++
		if !head.MatchString(line) {
			continue
		}
		if n == 0 {
			return at
		}
		n--
	}
	return 0
}

// UnknownKey refuses the first key that a file has and its tables do not, with
// its line; nil where there is none.
func (t Text) UnknownKey(md toml.MetaData) error {
	extra := md.Undecoded()
	if len(extra) == 0 {
		return nil
	}
	const says = "key %q is not known; check its spelling"
	if line := t.key(extra[0]); line > 0 {
		return fmt.Errorf("line %d: "+says, line, extra[0].String())
	}
	return fmt.Errorf(says, extra[0].String())
}

// key returns the first line that gives a key; zero where it is not found.
func (t Text) key(k toml.Key) int {
	name := regexp.QuoteMeta(k[len(k)-1])
	given := regexp.MustCompile(`(^|[{,\s])"?` + name + `"?\s*=|^\s*\[\[?\s*` + name + `\s*\]`)
	at := 0
	for line := range strings.Lines(string(t)) {
		at++
		if given.MatchString(line) && !strings.HasPrefix(strings.TrimSpace(line), "#") {
			return at
		}
	}
	return 0
}
