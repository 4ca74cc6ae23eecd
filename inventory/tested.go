package inventory

import (
	"fmt"
	"slices"
	"strings"
)

// TakesTests refuses a lot that was not tested in the condition in which the
// joint is left: as welded, or heat treated for at least as long. A lot of which
// nothing is said is refused only for a heat-treated joint, where the strength
// of untreated metal proves nothing.
func (j Joint) TakesTests(l Lot, papers []Paper) error {
	var said []string
	for _, p := range papers {
		if p.Rejected != "" || p.Tests == NotSaid {
			continue
		}
		if j.tested(p) {
			return nil
		}
		said = append(said, p.tested())
	}
	if len(said) == 0 && !j.HeatTreated {
		return nil
	}
	have := "in a condition that no paper states"
	if len(said) > 0 {
		slices.Sort(said)
		have = strings.Join(slices.Compact(said), ", ")
	}
	return &Refusal{Code: TestedCondition, Subject: l.Code, Value: have, Limit: j.condition(), Rule: j.rule(),
		Why:  fmt.Sprintf("lot %s was tested %s; joint %s is left %s", l.Code, have, j.Joint, j.condition()),
		Next: "offer a lot that was tested " + j.condition() + "; QA has the other one tested so"}
}

// tested reports whether a paper's tests cover the joint.
func (j Joint) tested(p Paper) bool {
	switch {
	case p.Tests == BothWays:
		return !j.HeatTreated || p.Heat >= j.heat
	case j.HeatTreated:
		return p.Tests == HeatTreated && p.Heat >= j.heat
	}
	return p.Tests == AsWelded
}

// condition is that in which the joint is left.
func (j Joint) condition() string {
	switch {
	case j.heat > 0:
		return string(HeatTreated) + " for " + j.heat.Words()
	case j.HeatTreated:
		return string(HeatTreated)
	}
	return string(AsWelded)
}

// tested says how a paper's tests were made.
func (p Paper) tested() string {
	switch {
	case p.Heat > 0:
		return string(HeatTreated) + " for " + p.Heat.Words()
	case p.Tests == AsWelded:
		return string(AsWelded) + " only"
	}
	return string(p.Tests)
}
