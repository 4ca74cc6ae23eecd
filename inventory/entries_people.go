package inventory

// PersonSet sets up a person: what they may do, since when, and on which rule
// sets they were trained. A later one of the same badge holds from its own
// since on; what they might do before stays known.
type PersonSet struct {
	Person  string     `json:"person"` // the badge, which is also what "by" names
	Name    string     `json:"name,omitempty"`
	Roles   []Role     `json:"roles,omitempty"` // left out: as before
	Since   string     `json:"since,omitempty"` // a day; left out: the day of the fact
	Until   string     `json:"until,omitempty"` // the last day; left out: no end
	Trained []Training `json:"trained,omitempty"`
}

// Kind implements Entry.
func (*PersonSet) Kind() string { return "person" }

// Training is that a person was trained on a version of the rules. An approved
// set is frozen, so its id is its version.
type Training struct {
	Rules string `json:"rules"`
	On    string `json:"on,omitempty"` // a day; left out: the day of the fact
}
