package report

import (
	"cmp"
	"fmt"
	"strings"

	"ovenward/inventory"
)

// told says in a few words what a fact says.
func told(e inventory.Entry) string {
	switch e := e.(type) {
	case *inventory.Received:
		return fmt.Sprintf("received %s of lot %s, %s", orText(e.Pieces, e.Mass), e.Lot, e.Package)
	case *inventory.LotReleased:
		return "released lot " + e.Lot + because(e.Note)
	case *inventory.HeldBack:
		return "held " + firstOf("lot", e.Lot, e.Bundle) + because(e.Why)
	case *inventory.Opened:
		return "opened " + e.Bundle + into(e.Into)
	case *inventory.Moved:
		return fmt.Sprintf("moved %s of %s%s", orAll(e.Pieces, e.Mass), e.Bundle, into(e.Into))
	case *inventory.Joined:
		return "joined " + strings.Join(e.Bundles, " and ") + " as " + e.As
	case *inventory.Issued:
		return fmt.Sprintf("issued %s of %s on slip %s to %s%s", orText(e.Pieces, e.Mass), e.Bundle, e.Slip, e.Welder, forJoints(e.Joints))
	case *inventory.Returned:
		return returned(e)
	case *inventory.Baked:
		return fmt.Sprintf("put %s into bake oven %s set to %s", e.Bundle, e.Place, e.Set)
	case *inventory.WentWet:
		return e.Bundle + " got wet"
	case *inventory.Scrapped:
		return fmt.Sprintf("scrapped %s of %s%s", orAll(e.Pieces, e.Mass), e.Bundle, because(e.Why))
	case *inventory.Counted:
		return fmt.Sprintf("counted %s in %s%s", orText(e.Pieces, e.Mass), e.Bundle, because(e.Why))
	case *inventory.Decision:
		return decidedOn(e)
	case *inventory.Settled:
		return fmt.Sprintf("decided %s of what the check of sensor %s at %s touched, proposed by %s%s", e.Disposition, e.Sensor, e.Check, e.Proposer, because(e.Why))
	case *inventory.Proposed:
		return fmt.Sprintf("proposed %s of %s%s", e.Disposition, subjectOf(e), because(e.Why))
	case *inventory.Noted:
		return fmt.Sprintf("saw %s of %s%s", e.What, subjectOf(e), because(e.Words))
	case *inventory.Extended:
		return fmt.Sprintf("extended lot %s until %s, by test %s, proposed by %s", e.Lot, e.Until, e.Reference, e.Proposer)
	case *inventory.TurnedAway:
		return fmt.Sprintf("turned %s away, who asked for %s%s", e.Welder, askedFor(e), forJoints(e.Joints))
	case *inventory.PersonSet:
		return "set up " + e.Person
	case *inventory.CertificateSet:
		return fmt.Sprintf("entered certificate %s of lot %s", e.Number, e.Lot)
	case *inventory.JointSet:
		return "set up joint " + e.Joint
	case *inventory.JobSet:
		return "set up job " + e.Job
	case *inventory.OvenChecked:
		return fmt.Sprintf("checked %s: %s%s", e.Place, cmp.Or(e.Value, "not read"), because(e.Note))
	case *inventory.ShutDown:
		return fmt.Sprintf("planned to shut %s down until %s%s", e.Place, e.To, because(e.Why))
	case *inventory.ClimateRead:
		return fmt.Sprintf("read the air of %s: %s, %s", e.Place, e.Temperature, e.Humidity)
	case *inventory.TestReported:
		return fmt.Sprintf("entered test report %s on %s of %s", e.Reference, e.Class, e.Maker)
	case *inventory.Blended:
		return "blended " + strings.Join(e.Bundles(), " and ") + " as " + e.As
	case *inventory.Calibrated:
		return fmt.Sprintf("checked sensor %s: shows %s above the true temperature", e.Sensor, e.Error)
	case *inventory.HandedOver:
		return fmt.Sprintf("took over from %s, shift %s", e.From, e.Shift)
	case *inventory.Voided:
		return "took back: it never happened (" + e.Was + ")"
	case *inventory.RulesUsed:
		return "put rule set " + e.Rules + " in force" + forJob(e.Job)
	case *inventory.RulesApproved:
		return "approved rule set " + e.ID + ", edition " + e.Edition
	case *inventory.PlaceSet:
		return "set up " + e.Place + ", a " + e.SortKind
	case *inventory.SensorSet:
		return "put sensor " + e.Sensor + " at " + e.Place
	case *inventory.SiteSet:
		return "set the site up: zone " + e.Zone
	case *inventory.DayClosed:
		return fmt.Sprintf("closed %s of sensor %s: %d readings", e.Day, e.Sensor, e.Readings)
	}
	return e.Kind()
}

func decidedOn(e *inventory.Decision) string {
	verb := "decided"
	if e.Rejected {
		verb = "REJECTED"
	}
	return fmt.Sprintf("%s %s of %s, proposed by %s%s", verb, e.Disposition, firstOf("lot", e.Lot, e.Bundle), e.Proposer, because(e.Why))
}

// askedFor is what a welder was turned away with.
func askedFor(e *inventory.TurnedAway) string {
	what := strings.TrimSpace(cmp.Or(e.Bundle, e.Class+" "+e.Diameter))
	if n := orText(e.Pieces, e.Mass); n != "0" {
		what = n + " of " + what
	}
	return what
}

func returned(e *inventory.Returned) string {
	parts := []string{orText(e.Unused, e.UnusedMass) + " unused"}
	for _, c := range []struct {
		n    inventory.Count
		what string
	}{{e.Stubs, "stubs"}, {e.Damaged, "damaged"}, {e.Unidentified, "without a readable mark"}} {
		if c.n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", c.n, c.what))
		}
	}
	text := "took back slip " + e.Slip + ": " + strings.Join(parts, ", ") + into(e.Into)
	if e.As != "" {
		text += " as " + e.As
	}
	if e.Wet {
		text += ", WET"
	}
	return text
}

func orText(pieces inventory.Count, mass string) string {
	if mass != "" {
		return mass
	}
	return fmt.Sprint(pieces)
}

func orAll(pieces inventory.Count, mass string) string {
	if pieces == 0 && mass == "" {
		return "all"
	}
	return orText(pieces, mass)
}

func into(place string) string {
	if place == "" {
		return ""
	}
	return " into " + place
}

func forJoints(joints []string) string {
	if len(joints) == 0 {
		return ", no joint named"
	}
	return " for " + strings.Join(joints, ", ")
}

func forJob(job string) string {
	if job == "" {
		return ""
	}
	return " for job " + job
}

// firstOf is the first of two names that is given, the former with its kind.
func firstOf(kind, a, b string) string {
	if a != "" {
		return kind + " " + a
	}
	return b
}
