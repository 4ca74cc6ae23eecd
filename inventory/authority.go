package inventory

import (
	"fmt"
	"strings"
)

// duty is who may record a kind of fact once people are set up, and what the
// fact does in words.
type duty struct {
	words string
	roles []Role // none: anybody may
}

var (
	anybody []Role
	window  = []Role{Attendant}
	rounds  = []Role{Attendant, QA} // what either sees on a round
	forQA   = []Role{QA}
	ordered = []Role{Foreman, QA} // what work is asked for
)

// duties are the kinds of facts with who may record them. The division is this
// program's own, from who decides what in rod rooms: the attendant hands out and
// takes back, QA releases and disposes, the foreman asks for work. Whoever sees
// something wrong may always say so and stop it.
var duties = map[string]duty{
	"site":        {"set the site up", forQA},
	"place":       {"set up a place", rounds},
	"sensor":      {"set up a sensor", rounds},
	"calibrate":   {"record a calibration", rounds},
	"rules":       {"approve a rule set", forQA},
	"use-rules":   {"put a rule set in force", forQA},
	"person":      {"set up people", forQA},
	"receive":     {"receive stock", window},
	"release":     {"release a lot", forQA},
	"hold":        {"stop stock", anybody},
	"open":        {"open a package", window},
	"move":        {"move stock", window},
	"join":        {"join bundles", window},
	"issue":       {"issue stock", window},
	"return":      {"take stock back", window},
	"bake":        {"start a bake", window},
	"wet":         {"report wet stock", anybody},
	"scrap":       {"scrap stock", rounds},
	"count":       {"count stock", rounds},
	"reclaim":     {"reclaim flux", window},
	"blend":       {"blend flux", window},
	"cover":       {"say what is covered", anybody},
	"propose":     {"propose a disposition", anybody},
	"decide":      {"decide what becomes of stock", forQA},
	"extend":      {"extend a shelf life", forQA},
	"settle":      {"decide on what a wrong sensor touched", forQA},
	"note":        {"note what was seen", anybody},
	"check":       {"record a check", rounds},
	"handover":    {"take a shift over", window},
	"climate":     {"record the climate", rounds},
	"shutdown":    {"plan a shutdown", ordered},
	"test-report": {"record a test report", forQA},
	"certificate": {"record a certificate", rounds},
	"joint":       {"set up a joint", ordered},
	"job":         {"set up a job", forQA},
	"turned-away": {"record who was turned away", anybody}, // the program does, for whoever refused
	"day":         {"close a day of readings", anybody},
	"void":        {"take a fact back", anybody}, // who may correct the fact is asked
}

// MayPlan are the roles that load plans and orders.
func MayPlan() []Role { return []Role{Purchasing} }

// MayRecord returns who may record a kind of fact; none: anybody may.
func MayRecord(kind string) []Role { return duties[kind].roles }

// Check refuses a person who may not record a kind of fact. As long as nobody
// is set up everybody may; as long as nobody has QA's authority anybody may set
// people up, or nobody ever could.
func (c Crew) Check(kind, badge string) error {
	d := duties[kind]
	if !c.SetUp() || len(d.roles) == 0 || (kind == "person" && len(c.Who(forQA)) == 0) {
		return nil
	}
	return c.Require(d.roles, badge, d.words)
}

// Require refuses a person who holds none of several roles for what the words
// say. The error is a *Refusal that names who may.
func (c Crew) Require(held []Role, badge, words string) error {
	if !c.SetUp() || c.Holds(badge, held) {
		return nil
	}
	ref := &Refusal{Code: NotAuthorised, Subject: badge, Value: c.titles(badge), Limit: Titles(held),
		Why: fmt.Sprintf("%s: to %s takes %s", c.Standing(badge), words, Titles(held))}
	if len(held) == 1 && held[0] == QA {
		ref.Code = QAOnly
	}
	if who := c.Who(held); len(who) > 0 {
		ref.Next = "ask " + strings.Join(who, " or ")
	} else {
		ref.Next = "nobody here is: QA sets one up with ovenward person add"
	}
	return ref
}
