package inventory

import (
	"fmt"
	"strconv"
	"strings"
)

// StubTargets are the shares of used rods, in per cent, whose stubs a site wants
// back: one for each stage of the work, and the share below which a missing stub
// is charged to the welder. They are a site's own rule.
type StubTargets struct {
	Stages []StubTarget
	Charge float64 // zero: nothing is charged
}

// StubTarget is the share that is to be reached at a stage.
type StubTarget struct {
	Stage   string
	Percent float64
}

// chargeBelow is the name that is no stage.
const chargeBelow = "charge"

// ParseStubTargets reads "ground=97,erection=95,charge=90". The error is a
// *Refusal with code unit.
func ParseStubTargets(text string) (StubTargets, error) {
	var all StubTargets
	seen := map[string]bool{}
	for part := range strings.SplitSeq(text, ",") {
		name, value, _ := strings.Cut(part, "=")
		name = strings.TrimSpace(name)
		percent, err := strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(value), "%")), 64)
		if err != nil || name == "" || seen[name] || !(percent > 0 && percent <= 100) {
			return StubTargets{}, &Refusal{Code: Unit, Subject: "stubs", Value: part, Why: quote(part) + " is not a stage with its share in per cent",
				Limit: "more than 0, at most 100, each stage once", Next: "write such as ground=97,erection=95,charge=90"}
		}
		seen[name] = true
		if name == chargeBelow {
			all.Charge = percent
			continue
		}
		all.Stages = append(all.Stages, StubTarget{name, percent})
	}
	return all, nil
}

// String prints the targets as ParseStubTargets reads them.
func (t StubTargets) String() string {
	var parts []string
	for _, s := range t.Stages {
		parts = append(parts, fmt.Sprintf("%s=%g", s.Stage, s.Percent))
	}
	if t.Charge > 0 {
		parts = append(parts, fmt.Sprintf("%s=%g", chargeBelow, t.Charge))
	}
	return strings.Join(parts, ",")
}

// For returns the target of a stage; false where it has none.
func (t StubTargets) For(stage string) (float64, bool) {
	for _, s := range t.Stages {
		if s.Stage == stage {
			return s.Percent, true
		}
	}
	return 0, false
}
