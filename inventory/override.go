package inventory

import "fmt"

// lift is who may override a refusal, or why nobody may.
type lift struct {
	roles  []Role
	reason string // why nobody may
}

// lifts are the refusal codes with who may override them. What a rule forbids a
// person with authority may allow, by name and with a reason. What rods are, what
// is written down and what time it is no signature changes.
var lifts = map[Code]lift{
	SecondFiller: {roles: []Role{Foreman, QA}},
	TooMany:      {roles: []Role{Foreman, QA}},

	NotReleased:     {roles: forQA},
	OnHold:          {roles: forQA},
	Expired:         {roles: forQA},
	HoldNotComplete: {roles: forQA},
	OverLimit:       {roles: forQA},
	BakesSpent:      {roles: forQA},
	FirstBake:       {roles: forQA},
	CoStorage:       {roles: forQA},
	WrongClass:      {roles: forQA},
	WrongSize:       {roles: forQA},
	CertificateCode: {roles: forQA},
	TestedCondition: {roles: forQA},

	Wet:              {reason: "no signature dries a wet covering"},
	NeverBake:        {reason: "this covering is spoilt by the heat"},
	NoRule:           {reason: "without a rule there is nothing to override: QA adds a row to a new version of the set"},
	RulesNotApproved: {reason: "a rule set is approved first"},
	NotEnough:        {reason: "the rods are not there"},
	ImpossibleOrder:  {reason: "it cannot have happened in that order"},
	Future:           {reason: "it has not happened yet"},
	AmbiguousTime:    {reason: "which of the two hours it was is a fact"},
	NoSuchTime:       {reason: "the clock never showed that time"},
	BalanceCode:      {reason: "the count is a fact: count again"},
	Unit:             {reason: "a quantity has its unit"},
	NotAuthorised:    {reason: "another person's authority is not one's own"},
	QAOnly:           {reason: "only QA decides it"},
	SamePerson:       {reason: "it takes two people"},
	Duplicate:        {reason: "it is recorded already"},
	Unknown:          {reason: "what is meant is not known"},
}

// Overridable returns who may override a refusal. The reason says why nobody
// may where there is no role.
func (c Code) Overridable() (roles []Role, reason string) {
	l := lifts[c]
	return l.roles, l.reason
}

// Overruled returns a refusal as it is kept in the fact that overrode it, or
// refuses the override: the code is no rule's, the person has no authority for
// it, or proposed it.
func (c Crew) Overruled(ref *Refusal, o Override, by string) (Overrode, error) {
	roles, reason := ref.Code.Overridable()
	switch {
	case len(roles) == 0:
		kept := *ref
		kept.Next = fmt.Sprintf("no override: %s; %s", reason, ref.Next)
		return Overrode{}, &kept
	case o.Why == "":
		return Overrode{}, &Refusal{Code: Unknown, Subject: "override", Why: "an override without a reason proves nothing", Next: "say why"}
	case o.Proposer == "" || o.Proposer == by:
		return Overrode{}, &Refusal{Code: SamePerson, Subject: ref.Subject, Value: by,
			Why: "who asks for an override does not grant it", Next: "have another person with authority record it, naming who asked for it"}
	}
	if err := c.Require(roles, by, "override "+string(ref.Code)); err != nil {
		return Overrode{}, err
	}
	return Overrode{Code: ref.Code, Subject: ref.Subject, Why: ref.Why, Value: ref.Value, Limit: ref.Limit, Rule: ref.Rule,
		Source: ref.Source}, nil
}
