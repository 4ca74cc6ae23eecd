package inventory

import "ovenward/inventory/measure"

// Issued is rods that went out to one welder on one slip.
type Issued struct {
	Slip       string   `json:"slip,omitempty"`
	Bundle     string   `json:"bundle,omitempty"` // left out: the program proposes one of the class and size
	Class      string   `json:"class,omitempty"`
	Diameter   string   `json:"diameter,omitempty"`
	Pieces     Count    `json:"pieces,omitempty"`
	Mass       string   `json:"mass,omitempty"`
	Welder     string   `json:"welder"`
	Holder     string   `json:"holder,omitempty"` // a quiver, or "open air" where left out
	Job        string   `json:"job,omitempty"`
	Joints     []string `json:"joints,omitempty"`
	Stage      string   `json:"stage,omitempty"`      // of the work, such as "erection": stub recovery is counted by it
	Procedures []string `json:"procedures,omitempty"` // of the joints, as shown at the window
	Cold       bool     `json:"cold,omitempty"`       // a sealed package from a place colder than the room
	Judged     *Judged  `json:"judged,omitempty"`

	Act
}

// Kind implements Entry.
func (*Issued) Kind() string { return "issue" }

// Returned is what came back on a slip. It closes the slip.
type Returned struct {
	Slip         string  `json:"slip"`
	Bundle       string  `json:"bundle,omitempty"` // rods of the slip that were set apart
	Unused       Count   `json:"unused"`
	Stubs        Count   `json:"stubs,omitempty"`
	Damaged      Count   `json:"damaged,omitempty"`
	Unidentified Count   `json:"unidentified,omitempty"`
	UnusedMass   string  `json:"unused_mass,omitempty"`
	Wet          bool    `json:"wet,omitempty"`
	Into         string  `json:"into,omitempty"`
	Rack         string  `json:"rack,omitempty"`
	Layers       Count   `json:"layers,omitempty"`
	As           string  `json:"as,omitempty"`
	Judged       *Judged `json:"judged,omitempty"`

	Act
}

// Kind implements Entry.
func (*Returned) Kind() string { return "return" }

// Judged is the judgement that led to an action, stored beside it with the
// rule set's version, so that it can be made again and must come out the same.
type Judged struct {
	Rules    string          `json:"rules"`
	Edition  string          `json:"edition"`
	Digest   string          `json:"digest"` // of the rule set's text
	Row      string          `json:"row"`
	Source   string          `json:"source,omitempty"`
	Verdict  Verdict         `json:"verdict"`
	Why      string          `json:"why,omitempty"`
	Least    string          `json:"least"` // exposure, h:mm:ss
	Most     string          `json:"most"`
	Limit    string          `json:"limit,omitempty"`
	Warn     measure.Instant `json:"warn_us,omitempty"`
	Due      measure.Instant `json:"due_us,omitempty"`
	Ready    measure.Instant `json:"ready_us,omitempty"`
	Bakes    int64           `json:"bakes"`
	Proposed string          `json:"proposed,omitempty"` // why this bundle, where the program proposed it
	Joints   []string        `json:"joints,omitempty"`   // touched by rods that may have been used past their limit
	Longer   string          `json:"longer,omitempty"`   // what decided between column A and column B
	Opened   bool            `json:"opened,omitempty"`   // the issue broke the package's seal
}
