package designation

import "slices"

// Parse reads text as exactly one classification. Where the text names its specification
// itself ("AWS A5.5 E8018-C3") that decides; elsewhere hint does, unless it is empty, and
// then every specification is tried.
//
// The error is a *SyntaxError, *SemanticError, *IncompleteError, *AmbiguousError,
// *UnlistedError or *SpecError, and a *SeveralError if text is a label with several marks.
// An error about one mark of several is wrapped.
func Parse(text string, hint Spec) (Mark, error) {
	marks, err := ParseLabel(text, hint)
	switch {
	case err != nil:
		return Mark{}, err
	case len(marks) > 1:
		return Mark{}, &SeveralError{Text: text, Marks: marks}
	}
	return marks[0], nil
}

// Candidates returns the readings of text as one mark under every specification that
// accepts its form and its meaning, none if there is none. A specification named in the
// text is heeded.
func Candidates(text string) []Mark {
	if len(text) > longest {
		return nil
	}
	in, rest, err := header(normalise(text))
	if err != nil {
		return nil
	}
	valid, _ := query{label: text, text: rest, in: in}.readings()
	return valid
}

// A query asks what one mark on a label is.
type query struct {
	label string // as given
	shown string // the mark as error messages show it
	text  string // the mark, normalised and without its specification
	in    scope
}

// readings returns every reading of the mark, those that are valid apart from those whose
// parts contradict each other.
func (q query) readings() (valid []Mark, contradictory []*SemanticError) {
	for _, g := range q.grammars() {
		m, ok := g.match(g.pattern, q)
		if !ok {
			continue
		}
		if why := g.check(m); why != "" {
			contradictory = append(contradictory, &SemanticError{Mark: m, Why: why})
			continue
		}
		valid = append(valid, m)
	}
	return valid, contradictory
}

// classify returns the one valid reading of the mark or the error that helps most.
func (q query) classify() (Mark, error) {
	valid, contradictory := q.readings()
	switch {
	case len(valid) == 1:
		return valid[0], nil
	case len(valid) > 1:
		return Mark{}, &AmbiguousError{Text: q.shown, Candidates: valid}
	case len(contradictory) > 0:
		return Mark{}, contradictory[0]
	}
	if e := q.incomplete(); e != nil {
		return Mark{}, e
	}
	if e := q.unlisted(); e != nil {
		return Mark{}, e
	}
	elsewhere, _ := query{label: q.label, text: q.text}.readings()
	return Mark{}, &SyntaxError{
		Text: q.shown, Specs: slices.Clone(q.in), Suggestions: q.suggestions(), Elsewhere: elsewhere,
	}
}

// incomplete recognises shorthand whose completed example is valid, nil if there is none.
func (q query) incomplete() *IncompleteError {
	for _, g := range q.grammars() {
		missing, example := g.lacking(q.text)
		if missing == "" {
			continue
		}
		if m, ok := g.match(g.pattern, query{text: example}); ok && g.check(m) == "" {
			return &IncompleteError{Text: q.shown, Missing: missing, Example: m.Canonical}
		}
	}
	return nil
}

// unlisted recognises a mark with a token that is not in the tables, nil if there is none.
func (q query) unlisted() *UnlistedError {
	for _, g := range q.grammars() {
		if g.unlisted == nil {
			continue
		}
		m, ok := g.match(g.unlisted, q)
		if !ok || g.check(m) != "" {
			continue
		}
		token := m.Fields[g.field]
		m.warnUnlisted(g.field, token)
		return &UnlistedError{Mark: m, Field: g.field, Token: token}
	}
	return nil
}
