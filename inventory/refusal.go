package inventory

import "strings"

// Code names why a fact may not be recorded as asked. Codes are part of the
// program's interface and never change their meaning.
type Code string

// The refusal codes.
const (
	NoRule           Code = "no-rule"
	RulesNotApproved Code = "rules-not-approved"
	NotReleased      Code = "not-released"
	OnHold           Code = "on-hold"
	Expired          Code = "expired"
	HoldNotComplete  Code = "hold-not-complete"
	OverLimit        Code = "over-limit"
	BakesSpent       Code = "bakes-spent"
	Wet              Code = "wet"
	NeverBake        Code = "never-bake"
	FirstBake        Code = "first-bake"
	CoStorage        Code = "co-storage"
	NotEnough        Code = "not-enough"
	WrongClass       Code = "wrong-class"
	WrongSize        Code = "wrong-size"
	SecondFiller     Code = "second-filler"
	CertificateCode  Code = "certificate"
	TestedCondition  Code = "tested-condition"
	TooMany          Code = "too-many"
	ImpossibleOrder  Code = "impossible-order"
	Future           Code = "future"
	AmbiguousTime    Code = "ambiguous-time"
	NoSuchTime       Code = "no-such-time"
	BalanceCode      Code = "balance"
	Unit             Code = "unit"
	NotAuthorised    Code = "not-authorised"
	QAOnly           Code = "qa-only"
	SamePerson       Code = "same-person"
	Duplicate        Code = "duplicate"
	Unknown          Code = "unknown"
)

// Refusal says why a fact may not be recorded as asked: people at a window
// argue with it, so it names the rule, the value, the limit and what to do.
type Refusal struct {
	Code    Code   `json:"code"`
	Subject string `json:"subject,omitempty"` // the bundle, lot, slip or field
	Why     string `json:"why"`               // one clause: "hold 3 h 45 min of 4 h"
	Value   string `json:"value,omitempty"`
	Limit   string `json:"limit,omitempty"`
	Rule    string `json:"rule,omitempty"`   // the deciding row and its rule set
	Source  string `json:"source,omitempty"` // where the row comes from
	Next    string `json:"next"`             // the next step
}

// Error returns the refusal in one line without the next step.
func (r *Refusal) Error() string {
	var b strings.Builder
	if r.Subject != "" {
		b.WriteString(r.Subject + ": ")
	}
	b.WriteString("refused (" + string(r.Code) + "): " + r.Why)
	if r.Rule != "" {
		b.WriteString(" [rule " + r.Rule)
		if r.Source != "" {
			b.WriteString("; " + r.Source)
		}
		b.WriteString("]")
	}
	return b.String()
}
