package designation

import (
	"fmt"
	"regexp"
	"strings"
)

// separators stand between the marks of a label.
const separators = "/,;"

// ParseLabel reads all marks of a label, such as "E71T-1C/1M H8", "F7A2/F7P2-EM12K" or
// "E7018-1 H4R / E4918-1 H4R", in their order. What the last mark alone prints for all, the
// hydrogen and moisture marks, the usability of A5.4 and the wire of A5.17, is read into the
// others. Every mark keeps the whole label as Raw. Hint and errors are those of Parse.
func ParseLabel(text string, hint Spec) ([]Mark, error) {
	q, err := ask(text, hint)
	if err != nil {
		return nil, err
	}
	// The whole comes first: a composition in brackets may hold a separator.
	m, err := q.classify()
	if err == nil {
		return []Mark{m}, nil
	}
	if !strings.ContainsAny(q.text, separators) {
		return nil, err
	}
	return q.parts()
}

// ask normalises a label and takes off the specification that it begins with.
func ask(label string, hint Spec) (query, error) {
	if len(label) > longest {
		head := strings.ToValidUTF8(label[:longest/4], "")
		return query{}, &SyntaxError{Text: head + "..."}
	}
	in, err := hinted(hint)
	if err != nil {
		return query{}, err
	}
	own, text, err := header(normalise(label))
	if err != nil {
		return query{}, err
	}
	if len(own) > 0 {
		in = own
	}
	text = strings.Trim(text, " "+separators)
	return query{label: label, shown: strings.TrimSpace(label), text: text, in: in}, nil
}

// parts reads the marks of a label one by one, the last first because it may speak for all.
func (q query) parts() ([]Mark, error) {
	parts, err := q.split()
	if err != nil {
		return nil, err
	}
	marks := make([]Mark, len(parts))
	for i := len(parts) - 1; i >= 0; i-- {
		if i == len(parts)-1 {
			marks[i], err = parts[i].classify()
		} else {
			marks[i], err = parts[i].classifyShared(marks[len(parts)-1])
		}
		if err != nil {
			return nil, fmt.Errorf("mark %d on the label %q: %w", i+1, q.shown, err)
		}
	}
	return marks, nil
}

// split cuts a label at its separators. A part may name a specification of its own, which
// holds for the parts after it too; a specification alone makes no part.
func (q query) split() ([]query, error) {
	var parts []query
	in := q.in
	separates := func(r rune) bool { return strings.ContainsRune(separators, r) }
	for piece := range strings.FieldsFuncSeq(q.text, separates) {
		own, text, err := header(strings.TrimSpace(piece))
		if err != nil {
			return nil, err
		}
		if len(own) > 0 {
			in = own
		}
		if text == "" {
			continue
		}
		if len(parts) > 0 {
			text = withStem(text, parts[0].text)
		}
		parts = append(parts, query{label: q.label, shown: text, text: text, in: in})
	}
	if len(parts) == 0 {
		return nil, &SyntaxError{Text: q.shown, Specs: in}
	}
	return parts, nil
}

// withStem completes a part that does not start as marks do by the stem of the first part,
// up to its last hyphen: "1M H8" after "E71T-1C" is "E71T-1M H8".
func withStem(text, first string) string {
	if startsMark(text) {
		return text
	}
	stem := "E"
	if i := strings.LastIndexByte(first, '-'); i >= 0 {
		stem = first[:i+1]
	}
	return stem + strings.TrimPrefix(text, "-")
}

// ownDesignators finds the H and R that a part prints itself, ownSuffix its usability or wire.
var (
	ownDesignators = regexp.MustCompile(`[- ]?H\d{1,2}(?:[- ]?R)?$|[- ]?R$`)
	ownSuffix      = regexp.MustCompile(`-(?:15|16|17|25|26)$|-E[A-Z0-9]+(?:[- ]H\d{1,2})?$`)
)

// classifyShared reads a part with what the last mark prints for all. A designator that
// does not fit, such as an H5 of ISO after an AWS mark, was not meant for the part.
func (q query) classifyShared(last Mark) (Mark, error) {
	if !ownSuffix.MatchString(q.text) {
		q.text += sharedSuffix(last)
	}
	if marks := last.designators(); marks != "" && !ownDesignators.MatchString(q.text) {
		shared := q
		shared.text += marks
		if m, err := shared.classify(); err == nil {
			return m, nil
		}
	}
	return q.classify()
}

// sharedSuffix returns what a label prints once, after its last mark, for all marks.
func sharedSuffix(last Mark) string {
	switch last.Spec {
	case A54:
		return "-" + last.Fields["usability"]
	case A517:
		return "-" + last.Fields["wire"]
	default:
		return ""
	}
}
