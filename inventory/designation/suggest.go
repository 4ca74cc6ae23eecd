package designation

import (
	"regexp"
	"slices"
	"strings"
)

// mostSuggestions bounds what an error message offers, longestRepaired the bytes of text
// that are worth repairing: no single mark is longer.
const (
	mostSuggestions = 3
	longestRepaired = 40
)

// suggestions returns marks, by their canonical form, that the text becomes by one small
// repair. Repairs that people need most come first.
func (q query) suggestions() []string {
	if len(q.text) > longestRepaired {
		return nil
	}
	var found []string
	for _, repaired := range repairs(q.text) {
		valid, _ := query{text: repaired, in: q.in}.readings()
		for _, m := range valid {
			if !slices.Contains(found, m.Canonical) && len(found) < mostSuggestions {
				found = append(found, m.Canonical)
			}
		}
	}
	return found
}

var (
	moistureFirst = regexp.MustCompile(`-?R(H\d{1,2})$`)
	digitLetters  = strings.NewReplacer("O", "0", "I", "1")
)

// repairs returns text with the usual slips undone: the first letters left out or wrong,
// spaces inside, letters for digits, R before H, a hyphen too few or too many.
func repairs(text string) []string {
	if text == "" {
		return nil
	}
	joined := strings.ReplaceAll(text, " ", "")
	all := []string{
		"E" + joined, "ER" + joined, "F" + joined,
		joined,
		digitLetters.Replace(joined),
		moistureFirst.ReplaceAllString(joined, "${1}R"),
	}
	if rest, ok := strings.CutPrefix(joined, "ER"); ok {
		all = append(all, "E"+rest)
	} else if rest, ok := strings.CutPrefix(joined, "E"); ok {
		all = append(all, "ER"+rest)
	}
	for i, r := range joined {
		if r == '-' {
			all = append(all, joined[:i]+joined[i+1:])
		} else if i > 0 {
			all = append(all, joined[:i]+"-"+joined[i:])
		}
	}
	return all
}
