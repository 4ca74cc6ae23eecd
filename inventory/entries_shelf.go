package inventory

// Extended moves the last day of a lot after a test of it: only QA does that, on
// another person's proposal.
type Extended struct {
	Lot       string `json:"lot"`
	Until     string `json:"until"`     // the new last day
	Reference string `json:"reference"` // of the test
	Proposer  string `json:"proposer"`  // another person than who records it
}

// Kind implements Entry.
func (*Extended) Kind() string { return "extend" }

// Covered says that what stays on a machine was covered there.
type Covered struct {
	Bundle string `json:"bundle"`
}

// Kind implements Entry.
func (*Covered) Kind() string { return "cover" }
