package designation

import (
	"regexp"
	"slices"
	"strings"
)

// awsHeader is a leading "AWS A5.1", "SFA-5.1" or "A5.1/A5.1M:2012" with what separates it
// from the mark. isoHeader is a leading "EN ISO 2560-A", also with its year. bareHeader is
// a leading "AWS" alone, which leaves the AWS specifications to choose from.
var (
	awsHeader = regexp.MustCompile(`^(?:(?:ANSI|AWS|ASME)[ /])*(?:SFA[- ]?|A ?)(5\.\d{1,2})M?` +
		`(?:/(?:SFA[- ]?|A ?)(5\.\d{1,2})M)?(?:[:-] ?(?:(?:19|20)\d\d|\d\d))?(?:[ :,-]+|$)`)
	isoHeader = regexp.MustCompile(`^(?:[A-Z]{2,4}[ /-])*ISO[ -]?2560(?::\d{4})?(?:-([AB]))?(?::\d{4})?` +
		`(?:[ :,-]+|$)`)
	bareHeader = regexp.MustCompile(`^AWS(?:[ :,-]+|$)`)
)

// ParseSpec reads the name of a specification as people and labels write it: "A5.1",
// "AWS A5.1/A5.1M:2012", "SFA-5.1", "EN ISO 2560-A". The error is a *SpecError.
func ParseSpec(s string) (Spec, error) {
	in, rest, err := header(normalise(s))
	switch {
	case err != nil:
		return "", err
	case rest != "" || len(in) == 0:
		return "", &SpecError{Text: s}
	case len(in) > 1:
		return "", &SpecError{Text: s, Why: "not exact; say which: " + joinSpecs(in)}
	}
	return in[0], nil
}

// A scope is the set of specifications that a text may belong to; an empty one means all.
type scope []Spec

func (s scope) allows(spec Spec) bool { return len(s) == 0 || slices.Contains(s, spec) }

// header cuts a leading specification off normalised text and returns it as a scope, empty
// if the text names none. The error is a *SpecError for a specification that is not known.
func header(text string) (in scope, rest string, err error) {
	if m := awsHeader.FindStringSubmatch(text); m != nil {
		spec := Spec("A" + m[1])
		if m[2] != "" && m[2] != m[1] || !slices.Contains(Specs(), spec) {
			return nil, "", &SpecError{Text: strings.TrimRight(m[0], " :,-")}
		}
		return scope{spec}, text[len(m[0]):], nil
	}
	if m := isoHeader.FindStringSubmatch(text); m != nil {
		return isoScope(m[1]), text[len(m[0]):], nil
	}
	if m := bareHeader.FindString(text); m != "" {
		return awsScope(), text[len(m):], nil
	}
	return nil, text, nil
}

func isoScope(letter string) scope {
	switch letter {
	case "A":
		return scope{ISO2560A}
	case "B":
		return scope{ISO2560B}
	}
	return scope{ISO2560A, ISO2560B}
}

func awsScope() scope {
	return slices.DeleteFunc(Specs(), func(s Spec) bool { return s == ISO2560A || s == ISO2560B })
}

// hinted turns the caller's hint into a scope. The error is a *SpecError.
func hinted(hint Spec) (scope, error) {
	switch {
	case hint == "":
		return nil, nil
	case slices.Contains(Specs(), hint):
		return scope{hint}, nil
	}
	return nil, &SpecError{Text: string(hint)}
}
