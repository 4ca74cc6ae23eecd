package sheet

import "fmt"

// Problem is a row or a cell that cannot be used, with what is to be done about
// it.
type Problem struct {
	Line   int64  `json:"line"`
	Column string `json:"column,omitempty"` // empty where the row as a whole is wrong
	Value  string `json:"value"`
	Why    string `json:"why"`
	Next   string `json:"next,omitempty"`
}

// String says it in one line.
func (p Problem) String() string {
	s := fmt.Sprintf("line %d", p.Line)
	if p.Column != "" {
		s += ", column " + p.Column
	}
	s += fmt.Sprintf(", %q: %s", p.Value, p.Why)
	if p.Next != "" {
		s += "; " + p.Next
	}
	return s
}
