package inventory

import (
	"strings"
	"unicode"
)

// Mention is something written of a lot that a person may look for it by.
type Mention struct {
	What string `json:"what"` // "lot", "class", "certificate" ...
	Text string `json:"text"`
}

// Mentions returns what a lot is known by, its own number first.
func (l Lot) Mentions() (list []Mention) {
	for _, m := range []Mention{{"lot", l.Code}, {"certificate", l.Certificate}, {"class", l.Mark.Canonical}, {"class", l.Mark.Raw},
		{"product", l.Product}, {"maker", l.Maker}} {
		if m.Text != "" {
			list = append(list, m)
		}
	}
	return list
}

// Holding returns the mentions that hold a text, the first of each kind. Capitals,
// spaces and hyphens make no difference: labels, papers and scanners differ in
// them.
func Holding(list []Mention, text string) (out []Mention) {
	look := bare(text)
	seen := map[string]bool{}
	for _, m := range list {
		if !seen[m.What] && look != "" && strings.Contains(bare(m.Text), look) {
			seen[m.What] = true
			out = append(out, m)
		}
	}
	return out
}

// bare is a text by its letters and digits alone, in capitals.
func bare(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToUpper(r)
		}
		return -1
	}, text)
}
