package designation

import (
	_ "embed"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"
)

//go:embed tokens.txt
var tokensFile string

// listed holds tokens.txt: specification and field to token in upper case to its printed
// form. It is read once and never written.
var listed = readTokens(tokensFile)

type tokenKey struct {
	spec  Spec
	field string
}

// readTokens reads the lines "spec | field | status | tokens | meaning". A bad line is a
// programmer's mistake and panics at the start.
func readTokens(file string) map[tokenKey]map[string]string {
	all := map[tokenKey]map[string]string{}
	for line := range strings.Lines(file) {
		line = strings.TrimSpace(line)
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		cells := strings.Split(line, "|")
		if len(cells) != 5 {
			panic(fmt.Sprintf("tokens.txt: %q has %d cells, want 5", line, len(cells)))
		}
		key := tokenKey{Spec(strings.TrimSpace(cells[0])), strings.TrimSpace(cells[1])}
		if all[key] == nil {
			all[key] = map[string]string{}
		}
		for _, token := range strings.Fields(cells[3]) {
			all[key][strings.ToUpper(token)] = token
		}
	}
	return all
}

// alternatives returns the tokens of a field as a pattern. Their order does not matter, as
// every pattern reads its text to the end.
func alternatives(spec Spec, field string) string {
	tokens := slices.Sorted(maps.Keys(listed[tokenKey{spec, field}]))
	for i, t := range tokens {
		tokens[i] = regexp.QuoteMeta(t)
	}
	return strings.Join(tokens, "|")
}

// printed returns a token as it is printed ("1Ni" for "1NI"), unchanged if it is not listed.
func printed(spec Spec, field, token string) string {
	if p, ok := listed[tokenKey{spec, field}][token]; ok {
		return p
	}
	return token
}

func isListed(spec Spec, field, token string) bool {
	_, ok := listed[tokenKey{spec, field}][token]
	return ok
}
