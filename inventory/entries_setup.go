package inventory

import "ovenward/inventory/measure"

// SiteSet says where a site is and how it writes quantities.
type SiteSet struct {
	Zone  string             `json:"zone"` // IANA name
	Units measure.UnitSystem `json:"units,omitempty"`

	Shifts string `json:"shifts,omitempty"` // "06:00-18:00,18:00-06:00"; left out: as set up before
	Stubs  string `json:"stubs,omitempty"`  // stub recovery to reach by stage, "ground=97,erection=95,charge=90"; left out: as before
}

// Kind implements Entry.
func (*SiteSet) Kind() string { return "site" }

// PlaceSet sets up a place.
type PlaceSet struct {
	Place    string `json:"place"`
	SortKind string `json:"kind"`
}

// Kind implements Entry.
func (*PlaceSet) Kind() string { return "place" }

// SensorSet puts a sensor at a place.
type SensorSet struct {
	Sensor   string `json:"sensor"`
	Place    string `json:"place"`
	Position string `json:"position,omitempty"` // "air", or "load" for one among the rods; air where left out
}

// Kind implements Entry.
func (*SensorSet) Kind() string { return "sensor" }

// Calibrated is a check of a sensor.
type Calibrated struct {
	Sensor  string `json:"sensor"`
	Error   string `json:"error"`              // what it shows above the true temperature, as it was left: "2 C"
	AsFound string `json:"as_found,omitempty"` // the same as it was found; it reaches back to the check before
	Due     string `json:"due,omitempty"`      // the day from which its readings prove nothing
}

// Kind implements Entry.
func (*Calibrated) Kind() string { return "calibrate" }

// RulesApproved freezes a rule set as a QA person approved it.
type RulesApproved struct {
	ID        string   `json:"id"`
	Edition   string   `json:"edition"`
	Digest    string   `json:"digest"`
	Text      string   `json:"text"`
	Confirmed []string `json:"confirmed,omitempty"` // rows from memory, confirmed against the shop's copy
}

// Kind implements Entry.
func (*RulesApproved) Kind() string { return "rules" }

// RulesUsed names the rule set in force for the site, or for a job.
type RulesUsed struct {
	Rules string `json:"rules"`
	Job   string `json:"job,omitempty"`
}

// Kind implements Entry.
func (*RulesUsed) Kind() string { return "use-rules" }

// DayClosed fixes the readings of one sensor's day by their digest.
type DayClosed struct {
	Sensor   string `json:"sensor"`
	Day      string `json:"day"`
	Readings int64  `json:"readings"`
	Digest   string `json:"digest"` // SHA-256 over the readings in order of time
}

// Kind implements Entry.
func (*DayClosed) Kind() string { return "day" }

// Voided supersedes a fact that never happened.
type Voided struct {
	Was string `json:"was"` // the kind of the fact
}

// Kind implements Entry.
func (*Voided) Kind() string { return "void" }
