package inventory

// ShutDown is a time in which a heated place is switched off on purpose.
type ShutDown struct {
	Place string `json:"place"`
	From  string `json:"from,omitempty"` // on the site's clock; when it was entered where left out
	To    string `json:"to"`
	Why   string `json:"why"`
}

// Kind implements Entry.
func (*ShutDown) Kind() string { return "shutdown" }

// OvenChecked says that a person looked at a heated place.
type OvenChecked struct {
	Place string `json:"place"`
	Value string `json:"value,omitempty"` // what the thermometer showed, where it was read
	Floor Count  `json:"floor,omitempty"` // rods found on the floor of it: unidentified, to be discarded
	Note  string `json:"note,omitempty"`
}

// Kind implements Entry.
func (*OvenChecked) Kind() string { return "check" }
