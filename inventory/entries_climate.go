package inventory

// ClimateRead is the air of a place as a person read it. The place "open air" is
// the shop where rods are out.
type ClimateRead struct {
	Place       string `json:"place"`
	Temperature string `json:"temperature"`       // "22 C"
	Humidity    string `json:"humidity"`          // relative, "55 %"
	Weather     string `json:"weather,omitempty"` // "rain", in the person's words
}

// Kind implements Entry.
func (*ClimateRead) Kind() string { return "climate" }

// TestReported is the report of a test of one maker's rods of one class: after so
// long in air of that temperature and humidity the covering was still dry enough.
// It allows a longer exposure where a rule set has a row for it.
type TestReported struct {
	Maker       string `json:"maker"`
	Class       string `json:"class"`
	Hours       string `json:"hours"` // "9 h"
	Temperature string `json:"temperature"`
	Humidity    string `json:"humidity"`
	Moisture    string `json:"moisture,omitempty"` // of the covering after the test, by weight: "0.35 %"
	Reference   string `json:"reference"`          // of the report
	Expires     string `json:"expires,omitempty"`  // the last day on which it counts
}

// Kind implements Entry.
func (*TestReported) Kind() string { return "test-report" }
