package designation

import (
	"fmt"
	"strings"
)

// A SyntaxError reports text that no grammar in question accepts.
type SyntaxError struct {
	Text string
	// Specs are the specifications that were tried, none for all.
	Specs []Spec
	// Suggestions are marks close to Text that do parse, at most three.
	Suggestions []string
	// Elsewhere are readings of Text under specifications other than Specs.
	Elsewhere []Mark
}

// Error says what the text is not, and what to write instead where a reading is near.
func (e *SyntaxError) Error() string {
	what := "a classification mark"
	if len(e.Specs) > 0 {
		what = "a mark of " + joinSpecs(e.Specs)
	}
	text := fmt.Sprintf("%q is not %s", e.Text, what)
	if !startsMark(e.Text) {
		text += ": marks begin with E, ER, EC or F"
	}
	switch {
	case len(e.Elsewhere) > 0:
		return text + ": it is " + named(e.Elsewhere) + "; name that specification or check the label"
	case len(e.Suggestions) > 0:
		return text + ": did you mean " + strings.Join(e.Suggestions, " or ") + "?"
	}
	return text + "; copy it from the label letter by letter"
}

// A SemanticError reports a mark whose form is right but whose parts contradict each other
// or do not exist together, such as E6010 H4.
type SemanticError struct {
	Mark Mark
	Why  string
}

// Error names the mark and the reason.
func (e *SemanticError) Error() string {
	return fmt.Sprintf("%s is not a valid %s mark: %s", e.Mark.Canonical, e.Mark.Spec, e.Why)
}

// An IncompleteError reports a shorthand that lacks a part the specification asks for.
type IncompleteError struct {
	Text    string
	Missing string // the part, for example "alloy suffix"
	Example string // a complete mark that begins like Text
}

// Error names the missing part and gives an example.
func (e *IncompleteError) Error() string {
	return fmt.Sprintf("%q is incomplete: %s missing, for example %s", e.Text, e.Missing, e.Example)
}

// An AmbiguousError reports text that is a valid mark of several specifications. The next
// step is to name one of them.
type AmbiguousError struct {
	Text       string
	Candidates []Mark
}

// Error names every candidate and shows how to name a specification.
func (e *AmbiguousError) Error() string {
	return fmt.Sprintf("%q is ambiguous, it is %s: name the specification, for example %q",
		e.Text, named(e.Candidates), string(e.Candidates[0].Spec)+" "+e.Candidates[0].Canonical)
}

// A SeveralError reports a label with several marks where one was asked for.
type SeveralError struct {
	Text  string
	Marks []Mark
}

// Error names the marks to choose from.
func (e *SeveralError) Error() string {
	return fmt.Sprintf("%q holds %d marks, %s: enter one of them", e.Text, len(e.Marks), named(e.Marks))
}

// An UnlistedError reports a mark that is well formed but for one token that is not in the
// tables. Editions add tokens, so a person who has compared the label with the current
// edition may accept Mark by hand; it carries a warning.
type UnlistedError struct {
	Mark  Mark
	Field string // the group of the grammar: "alloy", "wire"
	Token string
}

// Error names the token and what to compare it with.
func (e *UnlistedError) Error() string {
	return fmt.Sprintf("%s: %s %q is not in the %s table: check the label against the current edition; "+
		"if it stands there, accept the mark by hand", e.Mark.Canonical, e.Field, e.Token, e.Mark.Spec)
}

// A SpecError reports a specification that is not known or not exact.
type SpecError struct {
	Text string
	Why  string // empty: not known
}

// Error says why the specification cannot be used.
func (e *SpecError) Error() string {
	why := e.Why
	if why == "" {
		why = "not known; known are " + joinSpecs(Specs())
	}
	return fmt.Sprintf("specification %q: %s", e.Text, why)
}

// named lists marks with their specifications: "A5.1 (E4918) and ISO 2560-B (E4918)".
func named(marks []Mark) string {
	words := make([]string, len(marks))
	for i, m := range marks {
		words[i] = fmt.Sprintf("%s (%s)", m.Spec, m.Canonical)
	}
	return strings.Join(words, " and ")
}

func joinSpecs(specs []Spec) string {
	words := make([]string, len(specs))
	for i, s := range specs {
		words[i] = string(s)
	}
	return strings.Join(words, ", ")
}
