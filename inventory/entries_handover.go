package inventory

// HandedOver is the acknowledgement by the next attendant of what is open in the
// crib. The lists are what the program laid before them at that instant.
type HandedOver struct {
	From  string `json:"from"`            // who goes
	To    string `json:"to,omitempty"`    // who takes over: the one who records it
	Shift string `json:"shift,omitempty"` // that ends, "2025-06-10 18:00-06:00"; left out: the one whose end is nearest
	Note  string `json:"note,omitempty"`

	Slips   []string `json:"slips,omitempty"`   // that are out
	Overdue []string `json:"overdue,omitempty"` // of those, the ones past their limit
	Machine []string `json:"machine,omitempty"` // spools and flux on machines, and whether they are covered there
	Ovens   []string `json:"ovens,omitempty"`   // holding ovens that are not proven in range
	Bakes   []string `json:"bakes,omitempty"`   // bundles in a bake oven
	Holds   []string `json:"holds,omitempty"`   // lots and bundles that QA has to decide on
}

// Kind implements Entry.
func (*HandedOver) Kind() string { return "handover" }
